import type { Facets } from "../leaving/facets.ts";
import { shareBelow, WRONG } from "../leaving/facing.ts";
import { sinDeg } from "../leaving/vector.ts";
import type { Vec3 } from "./model.ts";
import { stripAt, type SeamTrial } from "./seam-trial.ts";

/** A cell whose normals lean this much towards a direction, sine, faces none within 20° of it the wrong way. */
const NEAR = sinDeg(20);

/** Area that faces against a direction, mm²; anything above `limit` where it is more than that. */
export type FacingMeasure = (direction: Vec3, limit?: number) => number;

/** One corner of a clipped cell: a point with its normal. */
interface Corner {
  p: Vec3;
  n: Vec3;
}

/**
 * The clay that a part touches between two traced seams, on the cells of a trial: those at the seams
 * are cut where the seam runs, with the normals of the part's own side.
 */
export class SeamShare {
  readonly trial: SeamTrial;
  /** u of the seams on each row, from < to. */
  readonly from: Float64Array;
  readonly to: Float64Array;
  /** Surface normals over all of it, xyz one after another. */
  readonly normals: Float64Array;
  /** Cells that are within the part as a whole. */
  readonly #whole: Int32Array;
  /** Cells at the seams, cut. */
  readonly #cut: [Corner, Corner, Corner, Corner][];
  /** Of each cut cell the areas of its two facets, mm². */
  readonly #cutAreas: Float64Array;
  readonly #used: Int32Array;

  constructor(trial: SeamTrial, from: Float64Array, to: Float64Array) {
    this.trial = trial;
    this.from = from;
    this.to = to.map((u, j) => u + Math.ceil(from[j] - u + 1e-9));
    const { columns, bands, us, corners } = trial;
    const whole = new Int32Array(bands * columns);
    let count = 0;
    this.#cut = [];
    for (let j = 0; j < bands; j++) {
      const [s0, s1, e0, e1] = [this.from[j], this.from[j + 1], this.to[j], this.to[j + 1]];
      const start = Math.max(s0, s1) + 1e-9;
      const end = Math.min(e0, e1) - 1e-9;
      const first = stripAt(us, Math.min(s0, s1));
      const last = stripAt(us, Math.max(e0, e1) - 1e-12);
      for (let strip = first, i = ((first % columns) + columns) % columns; strip <= last; strip++) {
        const turns = Math.floor(strip / columns);
        const left = us[i] + turns;
        const right = (i + 1 < columns ? us[i + 1] : 1) + turns;
        if (left >= start - 2e-9 && right <= end + 2e-9) whole[count++] = j * columns + i;
        else {
          const share = (u: number) => Math.min(1, Math.max(0, (u - left) / (right - left)));
          const low = [share(s0), share(e0)];
          const high = [share(s1), share(e1)];
          if (low[1] - low[0] + high[1] - high[0] > 1e-9) this.#cut.push(this.#cell(j, i, low, high));
        }
        if (++i === columns) i = 0;
      }
    }
    this.#whole = whole.subarray(0, count);
    const total = trial.normals.length / 3;
    const taken = new Uint8Array(total);
    const used = new Int32Array(total);
    let ids = 0;
    for (let c = 0; c < count; c++)
      for (let k = 0; k < 4; k++) {
        const id = corners[4 * whole[c] + k];
        if (taken[id]) continue;
        taken[id] = 1;
        used[ids++] = id;
      }
    this.#used = used.subarray(0, ids);
    const normals = new Float64Array(3 * (ids + 4 * this.#cut.length));
    let at = 0;
    for (let i = 0; i < ids; i++) {
      const n = 3 * used[i];
      normals[at++] = trial.normals[n];
      normals[at++] = trial.normals[n + 1];
      normals[at++] = trial.normals[n + 2];
    }
    for (const cell of this.#cut)
      for (const { n } of cell) {
        normals[at++] = n[0];
        normals[at++] = n[1];
        normals[at++] = n[2];
      }
    this.normals = normals;
    this.#cutAreas = new Float64Array(2 * this.#cut.length);
    this.#cut.forEach(([a, b, c, d], i) => {
      this.#cutAreas[2 * i] = triangleArea(a.p, b.p, c.p);
      this.#cutAreas[2 * i + 1] = triangleArea(a.p, c.p, d.p);
    });
  }

  /** A cell between shares of its low and high edge. */
  #cell(j: number, i: number, low: number[], high: number[]): [Corner, Corner, Corner, Corner] {
    const { trial } = this;
    const { columns, corners, normals, x, y, zs } = trial;
    const k = (i + 1) % columns;
    const cell = 4 * (j * columns + i);
    const at = (row: number, left: number, right: number, share: number): Corner => {
      const [a, b] = [row * columns + i, row * columns + k];
      const [p, q] = [3 * corners[cell + left], 3 * corners[cell + right]];
      const mix = (from: number, to: number) => from + share * (to - from);
      const n: Vec3 = [
        mix(normals[p], normals[q]),
        mix(normals[p + 1], normals[q + 1]),
        mix(normals[p + 2], normals[q + 2]),
      ];
      const length = Math.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
      return {
        p: [mix(x[a], x[b]), mix(y[a], y[b]), zs[row]],
        n: [n[0] / length, n[1] / length, n[2] / length],
      };
    };
    return [at(j, 0, 1, low[0]), at(j, 0, 1, low[1]), at(j + 1, 3, 2, high[1]), at(j + 1, 3, 2, high[0])];
  }

  /**
   * A measure of the area that faces against a direction by more than 0.1°, mm², for directions
   * within 20° of `m`; normals between the corners are read linearly. Directions further away are
   * given too little. What is sure to be more than `limit` is not measured to its end.
   */
  facingNear(m: Vec3): FacingMeasure {
    const { normals, corners, areas } = this.trial;
    const sines = this.#sinesAlong(m);
    const facing: number[] = [];
    const near: number[] = [];
    for (const cell of this.#whole) {
      const lowest = Math.min(
        sines[corners[4 * cell]],
        sines[corners[4 * cell + 1]],
        sines[corners[4 * cell + 2]],
        sines[corners[4 * cell + 3]],
      );
      if (lowest < WRONG) facing.push(cell);
      else if (lowest < NEAR) near.push(cell);
    }
    // Most of what faces the wrong way along one direction does so along its neighbours.
    const known = new Set<number>();
    const groups = [facing, near].map((list) => {
      const ids: number[] = [];
      for (const cell of list)
        for (let k = 0; k < 4; k++) {
          const id = corners[4 * cell + k];
          if (known.has(id)) continue;
          known.add(id);
          ids.push(id);
        }
      return { cells: Int32Array.from(list), ids: Int32Array.from(ids) };
    });
    // The normals of the cut cells are the last.
    const own = this.normals;
    const firstCut = own.length - 12 * this.#cut.length;
    const cutAreas = this.#cutAreas;
    return (direction, limit = Infinity) => {
      const [x, y, z] = direction;
      let area = 0;
      for (let i = 0, n = firstCut; i < cutAreas.length; i += 2, n += 12) {
        const a = own[n] * x + own[n + 1] * y + own[n + 2] * z;
        const b = own[n + 3] * x + own[n + 4] * y + own[n + 5] * z;
        const c = own[n + 6] * x + own[n + 7] * y + own[n + 8] * z;
        const d = own[n + 9] * x + own[n + 10] * y + own[n + 11] * z;
        if (a >= WRONG && b >= WRONG && c >= WRONG && d >= WRONG) continue;
        area += cutAreas[i] * shareBelow(a, b, c) + cutAreas[i + 1] * shareBelow(a, c, d);
      }
      for (const { cells, ids } of groups) {
        if (area > limit) return area;
        for (let i = 0; i < ids.length; i++) {
          const n = 3 * ids[i];
          sines[ids[i]] = normals[n] * x + normals[n + 1] * y + normals[n + 2] * z;
        }
        for (let i = 0; i < cells.length; i++) {
          const cell = cells[i];
          const a = sines[corners[4 * cell]];
          const b = sines[corners[4 * cell + 1]];
          const c = sines[corners[4 * cell + 2]];
          const d = sines[corners[4 * cell + 3]];
          if (a >= WRONG && b >= WRONG && c >= WRONG && d >= WRONG) continue;
          area += areas[2 * cell] * shareBelow(a, b, c) + areas[2 * cell + 1] * shareBelow(a, c, d);
          if (area > limit) return area;
        }
      }
      return area;
    };
  }

  #sinesAlong([x, y, z]: Vec3): Float64Array {
    const { normals } = this.trial;
    const sines = new Float64Array(normals.length / 3);
    for (const id of this.#used)
      sines[id] = normals[3 * id] * x + normals[3 * id + 1] * y + normals[3 * id + 2] * z;
    return sines;
  }

  /** The same clay as facets, for rays. */
  facets(): Facets {
    const { trial } = this;
    const { columns, corners, normals, x, y, zs } = trial;
    const cells = this.#whole.length + this.#cut.length;
    const positions = new Float64Array(12 * cells);
    const own = new Float64Array(12 * cells);
    const triangles = new Uint32Array(6 * cells);
    let at = 0;
    const add = (px: number, py: number, pz: number, nx: number, ny: number, nz: number) => {
      positions[at] = px;
      own[at++] = nx;
      positions[at] = py;
      own[at++] = ny;
      positions[at] = pz;
      own[at++] = nz;
    };
    for (const cell of this.#whole) {
      const j = Math.floor(cell / columns);
      const i = cell - j * columns;
      for (let corner = 0; corner < 4; corner++) {
        const row = corner < 2 ? j : j + 1;
        const v = row * columns + (corner === 0 || corner === 3 ? i : (i + 1) % columns);
        const n = 3 * corners[4 * cell + corner];
        add(x[v], y[v], zs[row], normals[n], normals[n + 1], normals[n + 2]);
      }
    }
    for (const cell of this.#cut) for (const { p, n } of cell) add(p[0], p[1], p[2], n[0], n[1], n[2]);
    for (let cell = 0, v = 0, t = 0; cell < cells; cell++, v += 4)
      for (const corner of [0, 1, 2, 0, 2, 3]) triangles[t++] = v + corner;
    return { positions, normals: own, triangles };
  }
}

function triangleArea(a: Vec3, b: Vec3, c: Vec3): number {
  const u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const v = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
  return Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2;
}
