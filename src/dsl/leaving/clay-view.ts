import type { Mesh } from "../solid/mesh.ts";
import { Cells } from "./cells.ts";
import { overlapOf, turnOf, type Seen } from "./overlap.ts";
import { dot, type Vec3 } from "./vector.ts";
import { EDGE_ON, seenArea, viewAlong, type View } from "./view.ts";

/** A ray starts this far off the clay, mm, so that it does not meet the place it starts from. */
export const RAY_LIFT = 0.02;
/** Clay met nearer than this is not in the way, mm. */
export const RAY_NEAR = 0.05;
/** Facets of which less than this share lies behind others are not shadowed. */
const LEAST_SHARE = 1e-3;
/** Facets that show less than this share of themselves are seen edge on: the sine of 0.1°. */
const LEAST_SHOWN = 1.7e-3;
/** Gaps between neighbouring facets that rounding leaves, mm. */
const SEAM = 1e-5;

/**
 * The whole clay seen along a direction of pull, so that parallel rays cost a look into one cell.
 * A ray meets clay where it enters it: at facets that face against the pull.
 */
export class ClayView {
  readonly view: View;
  readonly #cells: Cells;
  /** Greatest height of clay facing against the pull, by cell. */
  readonly #ahead: Float64Array;
  /** Facets by cell, made at the first need: where each cell's list starts, and the lists. */
  #lists: { start: Uint32Array; facets: Uint32Array } | null = null;
  /** The query that last looked at a facet, so that none is looked at twice. */
  readonly #seen: Uint32Array;
  #query = 0;

  constructor(clay: Mesh, m: Vec3) {
    this.view = viewAlong(clay, m);
    const count = clay.triangles.length / 3;
    this.#cells = new Cells(this.view.u, this.view.v, Math.min(200_000, Math.max(256, count)));
    this.#ahead = new Float64Array(this.#cells.columns * this.#cells.rows).fill(-Infinity);
    this.#seen = new Uint32Array(count);
    for (let f = 0; f < count; f++) if (seenArea(this.view, f) < -EDGE_ON) this.#raise(f);
  }

  #raise(f: number): void {
    const seen = this.seen(f);
    const bound = new HeightBound(seen, this.#cells);
    this.#cells.cover(seen[0], seen[1], seen[3], seen[4], seen[6], seen[7]);
    const { from, to, columns } = this.#cells;
    for (let row = this.#cells.top; row <= this.#cells.bottom; row++)
      for (let column = from[row]; column <= to[row]; column++) {
        const most = bound.most(column, row);
        if (most > this.#ahead[row * columns + column]) this.#ahead[row * columns + column] = most;
      }
  }

  /** Facet `f` of the clay as it is seen. */
  seen(f: number): Seen {
    const { mesh, u, v, h } = this.view;
    const [a, b, c] = [mesh.triangles[3 * f], mesh.triangles[3 * f + 1], mesh.triangles[3 * f + 2]];
    return [u[a], v[a], h[a], u[b], v[b], h[b], u[c], v[c], h[c]];
  }

  /** Place across the pull and height along it, mm. */
  place(p: Vec3): [u: number, v: number, h: number] {
    return [dot(p, this.view.first), dot(p, this.view.second), dot(p, this.view.m)];
  }

  /**
   * Whether clay may lie ahead of any part of a facet of the clay's own surface, `seen` from where
   * its rays start, of `area` mm². False is certain, but for slivers at its border; a facet that is
   * seen edge on gives true wherever clay is ahead near by.
   */
  mayBeShadowed(seen: Seen, area: number): boolean {
    const cells = this.#cells;
    cells.cover(seen[0], seen[1], seen[3], seen[4], seen[6], seen[7]);
    const bound = new HeightBound(seen, cells);
    const suspects: number[] = [];
    for (let row = cells.top; row <= cells.bottom; row++)
      for (let column = cells.from[row]; column <= cells.to[row]; column++) {
        const cell = row * cells.columns + column;
        if (this.#ahead[cell] > bound.least(column, row) + RAY_NEAR) suspects.push(cell);
      }
    if (suspects.length === 0) return false;
    const shown = Math.abs(turnOf(seen)) / 2;
    if (shown < LEAST_SHOWN * area) return true;
    this.#query++;
    for (const cell of suspects)
      for (const f of this.#in(cell)) {
        if (this.#seen[f] === this.#query || seenArea(this.view, f) > -EDGE_ON) continue;
        this.#seen[f] = this.#query;
        const overlap = overlapOf(seen, this.seen(f));
        if (overlap && overlap.area > LEAST_SHARE * shown && overlap.most > RAY_NEAR) return true;
      }
    return false;
  }

  /** Whether the ray from `p`, a point of the clay's surface with normal `n`, meets clay along the pull. */
  isShadowed(p: Vec3, n: Vec3): boolean {
    const [u, v, h] = this.place([p[0] + RAY_LIFT * n[0], p[1] + RAY_LIFT * n[1], p[2] + RAY_LIFT * n[2]]);
    if (!this.#cells.holds(u, v)) return false;
    const cell = this.#cells.row(v) * this.#cells.columns + this.#cells.column(u);
    if (this.#ahead[cell] <= h + RAY_NEAR) return false;
    for (const f of this.#in(cell))
      if (seenArea(this.view, f) < -EDGE_ON && heightAt(this.seen(f), u, v) > h + RAY_NEAR) return true;
    return false;
  }

  /**
   * How far from `p` sideways, along the unit vector `d` square to the pull, a ray along the pull
   * first finds no clay ahead, mm. Every facet ahead, whichever way it faces, covers a stretch of
   * that line; the answer is where the stretches from 0 on first leave a gap.
   */
  firstFree(p: Vec3, d: Vec3): number {
    const [u, v, h] = this.place(p);
    const du = dot(d, this.view.first);
    const dv = dot(d, this.view.second);
    const cells = this.#cells;
    if (!cells.holds(u, v)) return 0;
    let [column, row] = [cells.column(u), cells.row(v)];
    let reach = 0;
    const waiting: [number, number][] = [];
    this.#query++;
    for (;;) {
      for (const f of this.#in(row * cells.columns + column)) {
        if (this.#seen[f] === this.#query) continue;
        this.#seen[f] = this.#query;
        const stretch = stretchOf(this.seen(f), u, v, du, dv, h + RAY_NEAR);
        if (stretch !== null && stretch[1] > reach) waiting.push(stretch);
      }
      for (let grown = true; grown;) {
        grown = false;
        for (const [from, to] of waiting)
          if (from <= reach + SEAM && to > reach) {
            reach = to;
            grown = true;
          }
      }
      const nextU = du === 0 ? Infinity : (cells.middleU(column) + (Math.sign(du) * cells.size) / 2 - u) / du;
      const nextV = dv === 0 ? Infinity : (cells.middleV(row) + (Math.sign(dv) * cells.size) / 2 - v) / dv;
      if (reach + SEAM < Math.min(nextU, nextV)) return reach;
      if (nextU <= nextV) column += Math.sign(du);
      else row += Math.sign(dv);
      if (column < 0 || row < 0 || column >= cells.columns || row >= cells.rows) return reach;
    }
  }

  #in(cell: number): Uint32Array {
    const { start, facets } = (this.#lists ??= this.#makeLists());
    return facets.subarray(start[cell], start[cell + 1]);
  }

  #makeLists(): { start: Uint32Array; facets: Uint32Array } {
    const cells = this.#cells;
    const start = new Uint32Array(cells.columns * cells.rows + 1);
    const each = (visit: (cell: number, f: number) => void) => {
      for (let f = 0; f < this.#seen.length; f++) {
        if (Math.abs(seenArea(this.view, f)) < EDGE_ON) continue;
        const [ua, va, , ub, vb, , uc, vc] = this.seen(f);
        cells.cover(ua, va, ub, vb, uc, vc);
        for (let row = cells.top; row <= cells.bottom; row++)
          for (let column = cells.from[row]; column <= cells.to[row]; column++)
            visit(row * cells.columns + column, f);
      }
    };
    each((cell) => start[cell + 1]++);
    for (let cell = 1; cell < start.length; cell++) start[cell] += start[cell - 1];
    const next = start.slice();
    const facets = new Uint32Array(start[start.length - 1]);
    each((cell, f) => (facets[next[cell]++] = f));
    return { start, facets };
  }
}

/** Bounds on the height of a seen triangle within a cell. */
class HeightBound {
  readonly #cells: Cells;
  readonly #low: number;
  readonly #high: number;
  readonly #base: number;
  readonly #gu: number;
  readonly #gv: number;
  readonly #swing: number;

  constructor([ua, va, ha, ub, vb, hb, uc, vc, hc]: Seen, cells: Cells) {
    this.#cells = cells;
    this.#low = Math.min(ha, hb, hc);
    this.#high = Math.max(ha, hb, hc);
    const turn = (ub - ua) * (vc - va) - (vb - va) * (uc - ua);
    this.#gu = ((hb - ha) * (vc - va) - (hc - ha) * (vb - va)) / turn;
    this.#gv = ((hc - ha) * (ub - ua) - (hb - ha) * (uc - ua)) / turn;
    this.#base = ha - this.#gu * ua - this.#gv * va;
    // Edge on there is no slope to go by and the corners alone bound it.
    this.#swing =
      Math.abs(turn) < EDGE_ON ? NaN : ((Math.abs(this.#gu) + Math.abs(this.#gv)) * cells.size) / 2 + 1e-6;
  }

  most(column: number, row: number): number {
    const here = this.#middle(column, row) + this.#swing;
    return here < this.#high ? here : this.#high;
  }

  least(column: number, row: number): number {
    const here = this.#middle(column, row) - this.#swing;
    return here > this.#low ? here : this.#low;
  }

  #middle(column: number, row: number): number {
    return this.#base + this.#gu * this.#cells.middleU(column) + this.#gv * this.#cells.middleV(row);
  }
}

/** Height of the seen triangle over a place, or −Infinity where it does not cover it. */
function heightAt([ua, va, ha, ub, vb, hb, uc, vc, hc]: Seen, u: number, v: number): number {
  const turn = (ub - ua) * (vc - va) - (vb - va) * (uc - ua);
  const wb = ((u - ua) * (vc - va) - (v - va) * (uc - ua)) / turn;
  const wc = ((ub - ua) * (v - va) - (vb - va) * (u - ua)) / turn;
  const wa = 1 - wb - wc;
  // Places on a shared edge belong to both facets, so that no ray slips through.
  return wa < -1e-9 || wb < -1e-9 || wc < -1e-9 ? -Infinity : wa * ha + wb * hb + wc * hc;
}

/** The stretch of the line (u, v) + s·(du, dv), s ≥ 0, that the triangle covers above `least`. */
function stretchOf(
  seen: Seen,
  u: number,
  v: number,
  du: number,
  dv: number,
  least: number,
): [number, number] | null {
  const [ua, va, ha, ub, vb, hb, uc, vc, hc] = seen;
  const turn = (ub - ua) * (vc - va) - (vb - va) * (uc - ua);
  let from = 0;
  let to = Infinity;
  /** Keeps where value + slope·s ≥ 0. */
  const keep = (value: number, slope: number) => {
    if (slope > 0) from = Math.max(from, -value / slope);
    else if (slope < 0) to = Math.min(to, -value / slope);
    else if (value < 0) to = -1;
  };
  const wb = ((u - ua) * (vc - va) - (v - va) * (uc - ua)) / turn;
  const sb = (du * (vc - va) - dv * (uc - ua)) / turn;
  const wc = ((ub - ua) * (v - va) - (vb - va) * (u - ua)) / turn;
  const sc = ((ub - ua) * dv - (vb - va) * du) / turn;
  keep(wb + 1e-9, sb);
  keep(wc + 1e-9, sc);
  keep(1 - wb - wc + 1e-9, -sb - sc);
  keep(ha + wb * (hb - ha) + wc * (hc - ha) - least, sb * (hb - ha) + sc * (hc - ha));
  return from <= to ? [from, to] : null;
}
