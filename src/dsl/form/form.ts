import type { Body } from "../kit/body.ts";
import { correspond, type Correspondence } from "./correspondence.ts";
import { hermiteBasis, monotoneSlopes, straightBasis } from "./monotone.ts";

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
  readonly #path: { values: number[]; slopes: ArrayLike<number> }[];
  #lastLevel: Level | null = null;

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
  centre(z: number, below = false): Centre {
    return this.#level(z, below).centre;
  }

  /** The column at u; at a mark, `side` −1 reads what comes before it and 1 what comes after. */
  column(u: number, side: -1 | 1 = 1): Column {
    const count = this.zs.length;
    const scale = this.#scale;
    const lines = Array.from({ length: 6 }, () => new Float64Array(count));
    for (let k = 0; k < count; k++) {
      const p = this.#correspondence.at(k, u - Math.floor(u), side);
      lines[0][k] = p.x * scale;
      lines[1][k] = p.y * scale;
      lines[2][k] = (p.x + p.dx * DERIVATIVE_STEP) * scale;
      lines[3][k] = (p.y + p.dy * DERIVATIVE_STEP) * scale;
      lines[4][k] = (p.x - p.dx * DERIVATIVE_STEP) * scale;
      lines[5][k] = (p.y - p.dy * DERIVATIVE_STEP) * scale;
    }
    const slopes = this.side === "straight" ? lines : lines.map((line) => monotoneSlopes(this.zs, line));
    const value = ({ k, basis: b }: Level, line: number) => {
      const y = lines[line];
      const m = slopes[line];
      return y[k] * b[0] + y[k + 1] * b[1] + m[k] * b[2] + m[k + 1] * b[3];
    };
    const slope = ({ k, basis: b }: Level, line: number) => {
      const y = lines[line];
      const m = slopes[line];
      return (y[k + 1] - y[k]) * b[4] + m[k] * b[5] + m[k + 1] * b[6];
    };
    return {
      u,
      at: (z, below = false) => {
        const inside = z < 0 ? 0 : z > this.height ? this.height : z;
        const level = this.#level(inside, below);
        const { centre: c, cos, sin } = level;
        const x = value(level, 0);
        const y = value(level, 1);
        const dx = slope(level, 0);
        const dy = slope(level, 1);
        const lux = (value(level, 2) - value(level, 4)) / (2 * DERIVATIVE_STEP);
        const luy = (value(level, 3) - value(level, 5)) / (2 * DERIVATIVE_STEP);
        const px = cos * x - sin * y;
        const py = sin * x + cos * y;
        const zx = c.dx - c.dturn * py + cos * dx - sin * dy;
        const zy = c.dy + c.dturn * px + sin * dx + cos * dy;
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

  /** What all columns share on one level; rows are read one after another, so the last is kept. */
  #level(z: number, below: boolean): Level {
    const last = this.#lastLevel;
    if (last && last.z === z && last.below === below) return last;
    const { zs } = this;
    let k = 0;
    while (k < zs.length - 2 && (below ? z > zs[k + 1] : z >= zs[k + 1])) k++;
    const width = zs[k + 1] - zs[k];
    const t = (z - zs[k]) / width;
    const basis = this.side === "straight" ? straightBasis(width, t) : hermiteBasis(width, t);
    const [x, y, turn] = this.#path.map(({ values: v, slopes: m }) => ({
      value: v[k] * basis[0] + v[k + 1] * basis[1] + m[k] * basis[2] + m[k + 1] * basis[3],
      derivative: (v[k + 1] - v[k]) * basis[4] + m[k] * basis[5] + m[k + 1] * basis[6],
    }));
    const level: Level = {
      z,
      below,
      k,
      basis,
      centre: {
        x: x.value,
        y: y.value,
        dx: x.derivative,
        dy: y.derivative,
        turn: turn.value,
        dturn: turn.derivative,
      },
      cos: Math.cos(turn.value),
      sin: Math.sin(turn.value),
    };
    this.#lastLevel = level;
    return level;
  }
}

export interface Centre {
  x: number;
  y: number;
  dx: number;
  dy: number;
  /** Radians. */
  turn: number;
  dturn: number;
}

interface Level {
  z: number;
  below: boolean;
  /** Interval of sections, and the weights of its ends and slopes. */
  k: number;
  basis: readonly number[];
  centre: Centre;
  cos: number;
  sin: number;
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
