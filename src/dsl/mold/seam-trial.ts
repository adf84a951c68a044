import { normalOf, type Column, type Form } from "../form/form.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { SeamPlan } from "./seams.ts";

/** How fine a trial is: strips around the form at least, and bands up it. */
export interface Fineness {
  strips: number;
  bands: number;
}

/** Fine enough to tell by which seams hold less clay. */
export const FINE: Fineness = { strips: 120, bands: 24 };
/** Fine enough to tell where to look. */
export const COARSE: Fineness = { strips: 96, bands: 12 };

/** Of a form whose walls are straight lines that do not twist a fourth of the bands serves. */
const STRAIGHT = 4;

const TURN = 2 * Math.PI;

/**
 * The side of a form sampled for looking at many seams: cells between columns of constant u and
 * level rows, each corner with the surface's own normal on its side. Wet size, mold frame, mm.
 * Independent of how finely the mold itself is meshed, so that its seams are too.
 */
export class SeamTrial {
  readonly form: Form;
  /** Rising in [0, 1), with every mark of the form. */
  readonly us: Float64Array;
  readonly zs: Float64Array;
  /** Points, centres and polar angles about them: [row · columns + column]; angles rise along a row. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly angle: Float64Array;
  readonly centreX: Float64Array;
  readonly centreY: Float64Array;
  /** Unit normals, xyz one after another. */
  readonly normals: Float64Array;
  /** Of each normal the point that it stands on: row · columns + column. */
  readonly vertices: Int32Array;
  /**
   * Numbers of the normals at a cell's corners, four a cell [band · columns + strip]: low left, low
   * right, high right, high left, seen from outside with left before right in u.
   */
  readonly corners: Int32Array;
  /** Of each cell the areas of its two facets, mm²: under its rising diagonal and above. */
  readonly areas: Float64Array;
  /** Scratch, one a normal. */
  readonly sines: Float64Array;

  constructor(form: Form, fineness: Fineness = FINE) {
    this.form = form;
    this.us = columnsOf(form, fineness.strips);
    this.zs = rowsOf(form, fineness.bands);
    const columns = this.us.length;
    const rows = this.zs.length;
    this.x = new Float64Array(rows * columns);
    this.y = new Float64Array(rows * columns);
    this.angle = new Float64Array(rows * columns);
    this.centreX = new Float64Array(rows);
    this.centreY = new Float64Array(rows);
    this.zs.forEach((z, j) => {
      const c = form.centre(z);
      this.centreX[j] = c.x;
      this.centreY[j] = c.y;
    });
    const marks = new Set(form.marks.map((mark) => mark.u));
    const sharp = this.zs.map((z) =>
      Number(form.side === "straight" && z > 0 && z < form.height && form.zs.includes(z)),
    );
    const normals: number[] = [];
    const vertices: number[] = [];
    const add = (column: Column, z: number, below: boolean, v: number) => {
      const n = normalOf(column.at(z, below));
      normals.push(n[0], n[1], n[2]);
      vertices.push(v);
      return normals.length / 3 - 1;
    };
    // Of each vertex: after and above, before and above, after and below, before and below.
    const ids = new Int32Array(4 * rows * columns);
    for (let i = 0; i < columns; i++) {
      const after = form.column(this.us[i]);
      const before = marks.has(this.us[i]) ? form.column(this.us[i], -1) : null;
      for (let j = 0; j < rows; j++) {
        const z = this.zs[j];
        const v = j * columns + i;
        const last = j === rows - 1;
        const p = after.at(z, last);
        this.x[v] = p.x;
        this.y[v] = p.y;
        const n = normalOf(p);
        normals.push(n[0], n[1], n[2]);
        vertices.push(v);
        const own = normals.length / 3 - 1;
        const side = before ? add(before, z, last, v) : own;
        ids[4 * v] = own;
        ids[4 * v + 1] = side;
        ids[4 * v + 2] = sharp[j] ? add(after, z, true, v) : own;
        ids[4 * v + 3] = sharp[j] ? (before ? add(before, z, true, v) : ids[4 * v + 2]) : side;
      }
    }
    this.normals = Float64Array.from(normals);
    this.vertices = Int32Array.from(vertices);
    this.sines = new Float64Array(normals.length / 3);
    this.corners = new Int32Array(4 * (rows - 1) * columns);
    for (let j = 0; j + 1 < rows; j++)
      for (let i = 0; i < columns; i++) {
        const k = (i + 1) % columns;
        const cell = 4 * (j * columns + i);
        this.corners[cell] = ids[4 * (j * columns + i)];
        this.corners[cell + 1] = ids[4 * (j * columns + k) + 1];
        this.corners[cell + 2] = ids[4 * ((j + 1) * columns + k) + 3];
        this.corners[cell + 3] = ids[4 * ((j + 1) * columns + i) + 2];
      }
    this.areas = new Float64Array(2 * (rows - 1) * columns);
    this.#anglesAlongRows();
    this.#measure();
  }

  get columns(): number {
    return this.us.length;
  }

  get bands(): number {
    return this.zs.length - 1;
  }

  #anglesAlongRows(): void {
    const { columns } = this;
    for (let j = 0; j < this.zs.length; j++) {
      let last = 0;
      for (let i = 0; i < columns; i++) {
        const v = j * columns + i;
        let angle = Math.atan2(this.y[v] - this.centreY[j], this.x[v] - this.centreX[j]);
        // A row begins within half a turn of where the row below begins.
        const near = i > 0 ? last : j > 0 ? this.angle[v - columns] : angle;
        angle += TURN * Math.round((near - angle) / TURN);
        this.angle[v] = last = angle;
      }
    }
  }

  #measure(): void {
    const { columns, bands, x, y, zs } = this;
    const area = (a: number, b: number, c: number, za: number, zb: number, zc: number) => {
      const [ux, uy, uz] = [x[b] - x[a], y[b] - y[a], zb - za];
      const [vx, vy, vz] = [x[c] - x[a], y[c] - y[a], zc - za];
      return Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2;
    };
    for (let j = 0; j < bands; j++)
      for (let i = 0; i < columns; i++) {
        const [a, b] = [j * columns + i, j * columns + ((i + 1) % columns)];
        const [low, high] = [zs[j], zs[j + 1]];
        this.areas[2 * a] = area(a, b, b + columns, low, low, high);
        this.areas[2 * a + 1] = area(a, b + columns, a + columns, low, high, high);
      }
  }

  /** u of a seam on each row; of a flat one where its plane through the axis crosses the cells. */
  trace(plan: SeamPlan): Float64Array {
    const { columns, us, angle } = this;
    if (plan.follow === "form") return new Float64Array(this.zs.length).fill(plan.u);
    const found = new Float64Array(this.zs.length);
    for (let j = 0; j < found.length; j++) {
      const row = j * columns;
      const first = angle[row];
      const wanted = plan.angle + TURN * Math.ceil((first - plan.angle) / TURN - 1e-12);
      let [low, high] = [0, columns];
      while (high - low > 1) {
        const middle = (low + high) >> 1;
        if (angle[row + middle] <= wanted) low = middle;
        else high = middle;
      }
      const ends = low + 1 < columns ? [angle[row + low + 1], us[low + 1]] : [first + TURN, 1];
      const share = Math.min(1, Math.max(0, (wanted - angle[row + low]) / (ends[0] - angle[row + low])));
      const u = us[low] + share * (ends[1] - us[low]);
      found[j] = j === 0 ? u : u + Math.round(found[j - 1] - u);
    }
    return found;
  }

  /** Points of the cells at u on each row. */
  points(us: Float64Array): { x: Float64Array; y: Float64Array } {
    const { columns } = this;
    const x = new Float64Array(us.length);
    const y = new Float64Array(us.length);
    us.forEach((u, j) => {
      const within = u - Math.floor(u);
      const i = stripAt(this.us, within);
      const k = (i + 1) % columns;
      const share = (within - this.us[i]) / ((this.us[i + 1] ?? 1) - this.us[i]);
      const [a, b] = [j * columns + i, j * columns + k];
      x[j] = this.x[a] + share * (this.x[b] - this.x[a]);
      y[j] = this.y[a] + share * (this.y[b] - this.y[a]);
    });
    return { x, y };
  }

  /** The side closed by flat ends: what clay a ray from it can meet. */
  solid(): Mesh {
    const { columns, bands, x, y, zs } = this;
    const rows = zs.length;
    const positions = new Float64Array(3 * (rows * columns + 2));
    for (let j = 0; j < rows; j++)
      for (let i = 0; i < columns; i++) {
        const v = j * columns + i;
        positions.set([x[v], y[v], zs[j]], 3 * v);
      }
    const [low, high] = [rows * columns, rows * columns + 1];
    positions.set([this.centreX[0], this.centreY[0], zs[0]], 3 * low);
    positions.set([this.centreX[rows - 1], this.centreY[rows - 1], zs[rows - 1]], 3 * high);
    const triangles: number[] = [];
    for (let j = 0; j < bands; j++)
      for (let i = 0; i < columns; i++) {
        const k = (i + 1) % columns;
        const [a, b] = [j * columns + i, j * columns + k];
        triangles.push(a, b, b + columns, a, b + columns, a + columns);
      }
    const top = bands * columns;
    for (let i = 0; i < columns; i++) {
      const k = (i + 1) % columns;
      triangles.push(low, k, i, high, top + i, top + k);
    }
    return { positions, triangles: Uint32Array.from(triangles) };
  }
}

/** Strip of rising columns that u lies in, counted on beyond a turn. */
export function stripAt(us: Float64Array, u: number): number {
  const turns = Math.floor(u);
  const within = u - turns;
  let [low, high] = [0, us.length];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (us[middle] <= within) low = middle;
    else high = middle;
  }
  return low + turns * us.length;
}

function columnsOf(form: Form, strips: number): Float64Array {
  const step = Math.min(1 / strips, form.longestStep);
  const marks = [...new Set([0, ...form.marks.map((mark) => mark.u)])].sort((a, b) => a - b);
  const us = marks.flatMap((u, i) => {
    const next = marks[i + 1] ?? 1;
    const pieces = Math.max(1, Math.ceil((next - u) / step - 1e-6));
    return Array.from({ length: pieces }, (_, k) => u + ((next - u) * k) / pieces);
  });
  return Float64Array.from(us);
}

function rowsOf(form: Form, bands: number): Float64Array {
  const plain = form.side === "straight" && form.twist === 0;
  const step = form.height / (plain ? bands / STRAIGHT : bands);
  const zs = form.zs.flatMap((z, k) => {
    const next = form.zs[k + 1];
    if (next === undefined) return [z];
    const pieces = Math.max(1, Math.round((next - z) / step));
    return Array.from({ length: pieces }, (_, i) => z + ((next - z) * i) / pieces);
  });
  return Float64Array.from(zs);
}
