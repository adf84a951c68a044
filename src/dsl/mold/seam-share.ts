import type { Facets } from "../leaving/facets.ts";
import { shareBelow, WRONG } from "../leaving/facing.ts";
import { dot, sinDeg } from "../leaving/vector.ts";
import type { Vec3 } from "./model.ts";
import { stripAt, type SeamTrial } from "./seam-trial.ts";

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
  #facets: Facets | null = null;
  /** Scratch, all zero: marks of normals. */
  readonly #taken: Uint8Array;

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
    for (const id of this.#used) taken[id] = 0;
    this.#taken = taken;
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
   * A measure of the area that faces against a direction by more than 0.1°, mm²; normals between the corners are
   * read linearly. Made for many directions near to one another: what faces the wrong way along all within `cone`
   * degrees, or along none, is looked at once. What is sure to be more than `limit` is not measured to its end.
   */
  facingWithin(cone: number): FacingMeasure {
    const least = Math.cos((cone * Math.PI) / 180);
    let centre: Vec3 = [0, 0, 0];
    let around: FacingMeasure | null = null;
    return (direction, limit) => {
      if (!around || dot(centre, direction) < least)
        [centre, around] = [direction, this.#facingAround(direction, cone)];
      return around(direction, limit);
    };
  }

  #facingAround(centre: Vec3, cone: number): FacingMeasure {
    const { corners, areas, normals } = this.trial;
    const sines = this.#sinesAlong(centre);
    const change = 2 * sinDeg(cone / 2);
    const [lowest, highest] = [WRONG - change, WRONG + change];
    const near = new Int32Array(this.#whole.length);
    const ids = new Int32Array(this.#used.length);
    const taken = this.#taken;
    let [cells, count, sure] = [0, 0, 0];
    for (const cell of this.#whole) {
      const c = 4 * cell;
      const a = sines[corners[c]];
      const b = sines[corners[c + 1]];
      const d = sines[corners[c + 2]];
      const e = sines[corners[c + 3]];
      if (a >= highest && b >= highest && d >= highest && e >= highest) continue;
      if (a < lowest && b < lowest && d < lowest && e < lowest) {
        sure += areas[2 * cell] + areas[2 * cell + 1];
        continue;
      }
      near[cells++] = cell;
      for (let k = c; k < c + 4; k++) {
        const id = corners[k];
        if (taken[id] === 1) continue;
        taken[id] = 1;
        ids[count++] = id;
      }
    }
    for (let i = 0; i < count; i++) taken[ids[i]] = 0;
    // The normals of the cut cells are the last.
    const own = this.normals;
    const firstCut = own.length - 12 * this.#cut.length;
    const cutAreas = this.#cutAreas;
    return ([x, y, z], limit = Infinity) => {
      let area = sure;
      for (let i = 0, n = firstCut; i < cutAreas.length; i += 2, n += 12) {
        const a = own[n] * x + own[n + 1] * y + own[n + 2] * z;
        const b = own[n + 3] * x + own[n + 4] * y + own[n + 5] * z;
        const c = own[n + 6] * x + own[n + 7] * y + own[n + 8] * z;
        const d = own[n + 9] * x + own[n + 10] * y + own[n + 11] * z;
        if (a >= WRONG && b >= WRONG && c >= WRONG && d >= WRONG) continue;
        area += cutAreas[i] * shareBelow(a, b, c) + cutAreas[i + 1] * shareBelow(a, c, d);
      }
      if (area > limit) return area;
      for (let i = 0; i < count; i++) {
        const n = 3 * ids[i];
        sines[ids[i]] = normals[n] * x + normals[n + 1] * y + normals[n + 2] * z;
      }
      for (let i = 0; i < cells; i++) {
        const cell = near[i];
        const a = sines[corners[4 * cell]];
        const b = sines[corners[4 * cell + 1]];
        const c = sines[corners[4 * cell + 2]];
        const d = sines[corners[4 * cell + 3]];
        if (a >= WRONG && b >= WRONG && c >= WRONG && d >= WRONG) continue;
        area += areas[2 * cell] * shareBelow(a, b, c) + areas[2 * cell + 1] * shareBelow(a, c, d);
        if (area > limit) return area;
      }
      return area;
    };
  }

  #sinesAlong([x, y, z]: Vec3): Float64Array {
    const { normals, sines } = this.trial;
    for (const id of this.#used)
      sines[id] = normals[3 * id] * x + normals[3 * id + 1] * y + normals[3 * id + 2] * z;
    return sines;
  }

  /** The same clay as facets, for rays. */
  get facets(): Facets {
    return (this.#facets ??= this.#asFacets());
  }

  #asFacets(): Facets {
    const { columns, corners, vertices, x, y, zs } = this.trial;
    const [whole, used, cut] = [this.#whole, this.#used, this.#cut];
    const positions = new Float64Array(this.normals.length);
    const triangles = new Uint32Array(6 * (whole.length + cut.length));
    const place = new Int32Array(this.trial.normals.length / 3);
    let at = 0;
    for (let i = 0; i < used.length; i++) {
      place[used[i]] = i;
      const v = vertices[used[i]];
      positions[at++] = x[v];
      positions[at++] = y[v];
      positions[at++] = zs[Math.floor(v / columns)];
    }
    for (const cell of cut)
      for (const { p } of cell) {
        positions[at++] = p[0];
        positions[at++] = p[1];
        positions[at++] = p[2];
      }
    let t = 0;
    const add = (a: number, b: number, c: number, d: number) => {
      triangles[t++] = a;
      triangles[t++] = b;
      triangles[t++] = c;
      triangles[t++] = a;
      triangles[t++] = c;
      triangles[t++] = d;
    };
    for (const cell of whole) {
      const c = 4 * cell;
      add(place[corners[c]], place[corners[c + 1]], place[corners[c + 2]], place[corners[c + 3]]);
    }
    for (let i = 0, v = used.length; i < cut.length; i++, v += 4) add(v, v + 1, v + 2, v + 3);
    return { positions, normals: this.normals, triangles };
  }
}

function triangleArea(a: Vec3, b: Vec3, c: Vec3): number {
  const u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const v = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
  return Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2;
}
