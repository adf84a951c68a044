import type { Body } from "../kit/body.ts";
import { correspond, type Correspondence } from "./correspondence.ts";
import { hermite, monotoneSlopes, straight } from "./monotone.ts";

/** A point of the surface with its tangents by u and z. */
export interface SurfacePoint {
  x: number;
  y: number;
  ux: number;
  uy: number;
  zx: number;
  zy: number;
}

/** One line of constant u up the form. */
export interface Column {
  readonly u: number;
  /**
   * The surface at height z, mm; beyond foot and rim it goes on straight. At a section of a
   * straight-sided form `below` reads the slope from underneath.
   */
  at(z: number, below?: boolean): SurfacePoint;
}

/** A step in u that differentiates the height interpolation, in which the data enter almost linearly. */
const DERIVATIVE_STEP = 1e-5;

/**
 * The outside of a pot as a surface P(u, z) = c(z) + Rot(θ(z))·q(u, z), wet size: centre, turn and
 * shape are interpolated apart, since turned points joined straight would pinch the form.
 */
export class Form {
  readonly marks: Correspondence["marks"];
  readonly longestStep: number;
  readonly side: "smooth" | "straight";
  /** Heights of the sections, mm. */
  readonly zs: readonly number[];
  readonly height: number;
  /** Which way the sections turn between the lowest and the highest, radians. */
  readonly twist: number;
  readonly #correspondence: Correspondence;
  readonly #scale: number;
  readonly #path: { values: number[]; slopes: number[] }[];

  constructor(body: Body, scale: number) {
    const { sections, side } = body;
    this.side = side;
    this.#scale = scale;
    this.zs = sections.map((section) => section.z * scale);
    this.height = this.zs[this.zs.length - 1];
    this.#correspondence = correspond(sections.map((section) => section.outline.curve));
    this.marks = this.#correspondence.marks;
    this.longestStep = this.#correspondence.longestStep;
    const turns = sections.map((section) => (section.outline.turned * Math.PI) / 180);
    this.twist = turns[turns.length - 1] - turns[0];
    this.#path = [
      sections.map((section) => section.outline.cx * scale),
      sections.map((section) => section.outline.cy * scale),
      turns,
    ].map((values) => ({ values, slopes: monotoneSlopes(this.zs, values) }));
  }

  /** The centre of the level section at z, with its slope, and the turn there, radians. */
  centre(
    z: number,
    below = false,
  ): { x: number; y: number; dx: number; dy: number; turn: number; dturn: number } {
    const [x, y, turn] = this.#path.map(({ values, slopes }) => this.#interpolate(values, slopes, z, below));
    return {
      x: x.value,
      y: y.value,
      dx: x.derivative,
      dy: y.derivative,
      turn: turn.value,
      dturn: turn.derivative,
    };
  }

  /** The column at u; at a mark, `side` −1 reads what comes before it and 1 what comes after. */
  column(u: number, side: -1 | 1 = 1): Column {
    const points = this.zs.map((_, k) => this.#correspondence.at(k, u - Math.floor(u), side));
    const scale = this.#scale;
    const lines = [
      points.map((p) => p.x * scale),
      points.map((p) => p.y * scale),
      points.map((p) => (p.x + p.dx * DERIVATIVE_STEP) * scale),
      points.map((p) => (p.y + p.dy * DERIVATIVE_STEP) * scale),
      points.map((p) => (p.x - p.dx * DERIVATIVE_STEP) * scale),
      points.map((p) => (p.y - p.dy * DERIVATIVE_STEP) * scale),
    ].map((values) => ({ values, slopes: monotoneSlopes(this.zs, values) }));
    return {
      u,
      at: (z, below = false) => {
        const inside = Math.min(Math.max(z, 0), this.height);
        const c = this.centre(inside, below);
        const [x, y, ax, ay, bx, by] = lines.map(({ values, slopes }) =>
          this.#interpolate(values, slopes, inside, below),
        );
        const cos = Math.cos(c.turn);
        const sin = Math.sin(c.turn);
        const px = cos * x.value - sin * y.value;
        const py = sin * x.value + cos * y.value;
        const lux = (ax.value - bx.value) / (2 * DERIVATIVE_STEP);
        const luy = (ay.value - by.value) / (2 * DERIVATIVE_STEP);
        const zx = c.dx - c.dturn * py + cos * x.derivative - sin * y.derivative;
        const zy = c.dy + c.dturn * px + sin * x.derivative + cos * y.derivative;
        const beyond = z - inside;
        return {
          x: c.x + px + beyond * zx,
          y: c.y + py + beyond * zy,
          ux: cos * lux - sin * luy,
          uy: sin * lux + cos * luy,
          zx,
          zy,
        };
      },
    };
  }

  #interpolate(
    values: number[],
    slopes: number[],
    z: number,
    below: boolean,
  ): { value: number; derivative: number } {
    const { zs } = this;
    let k = 0;
    while (k < zs.length - 2 && (below ? z > zs[k + 1] : z >= zs[k + 1])) k++;
    const width = zs[k + 1] - zs[k];
    const t = (z - zs[k]) / width;
    return this.side === "straight"
      ? straight(width, t, values[k], values[k + 1])
      : hermite(width, t, values[k], values[k + 1], slopes[k], slopes[k + 1]);
  }
}

/** Unit outward normal of the surface at a point of it. */
export function normalOf(p: SurfacePoint): [number, number, number] {
  // (ux, uy, 0) × (zx, zy, 1)
  const nx = p.uy;
  const ny = -p.ux;
  const nz = p.ux * p.zy - p.uy * p.zx;
  const length = Math.hypot(nx, ny, nz);
  return [nx / length, ny / length, nz / length];
}
