import type { Mesh } from "../solid/mesh.ts";
import { CellLists, Cells } from "./cells.ts";
import { HeightBound } from "./height-bound.ts";
import type { Seen } from "./overlap.ts";
import { dot, type Vec3 } from "./vector.ts";
import { EDGE_ON, seenArea, viewAlong, type View } from "./view.ts";

/** A ray starts this far off the clay, mm, so that it does not meet the place it starts from. */
export const RAY_LIFT = 0.02;
/** Clay met nearer than this is not in the way, mm. */
export const RAY_NEAR = 0.05;
/** Gaps between neighbouring facets that rounding leaves, mm. */
const SEAM = 1e-5;

/**
 * A closed solid, the whole clay or a part, seen along a direction of pull, so that parallel rays
 * cost a look into one cell. A ray meets the solid where it enters it: at facets that face against
 * the pull.
 */
export class SolidView {
  readonly view: View;
  readonly #cells: Cells;
  /** Greatest height of what faces against the pull, by cell. */
  readonly #ahead: Float64Array;
  readonly #bound: HeightBound;
  /** Facets by cell, made at the first need: those that face against the pull, and the others. */
  #against: CellLists | null = null;
  #with: CellLists | null = null;
  /** The query that last looked at a facet, so that none is looked at twice. */
  readonly #seen: Uint32Array;
  #query = 0;

  constructor(solid: Mesh, m: Vec3) {
    this.view = viewAlong(solid, m);
    const count = solid.triangles.length / 3;
    this.#cells = new Cells(this.view.u, this.view.v, Math.min(200_000, Math.max(256, count / 4)));
    this.#ahead = new Float64Array(this.#cells.columns * this.#cells.rows).fill(-Infinity);
    this.#seen = new Uint32Array(count);
    this.#bound = new HeightBound(this.#cells);
    const { u, v, h } = this.view;
    const t = solid.triangles;
    for (let i = 0; i < t.length; i += 3) {
      const [a, b, c] = [t[i], t[i + 1], t[i + 2]];
      const turn = (u[b] - u[a]) * (v[c] - v[a]) - (v[b] - v[a]) * (u[c] - u[a]);
      if (turn < -EDGE_ON) this.#raise(u[a], v[a], h[a], u[b], v[b], h[b], u[c], v[c], h[c]);
    }
  }

  #raise(...[ua, va, ha, ub, vb, hb, uc, vc, hc]: Seen): void {
    const cells = this.#cells;
    const ahead = this.#ahead;
    this.#bound.set(ua, va, ha, ub, vb, hb, uc, vc, hc);
    cells.cover(ua, va, ub, vb, uc, vc);
    for (let row = cells.top; row <= cells.bottom; row++)
      for (
        let column = cells.from[row], cell = row * cells.columns + column;
        column <= cells.to[row];
        column++, cell++
      ) {
        const most = this.#bound.most(column, row);
        if (most > ahead[cell]) ahead[cell] = most;
      }
  }

  /** Facet `f` as it is seen. */
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
   * Whether clay may lie ahead of any part of a facet of the clay's own surface, given by the
   * corners from which its rays start, seen along the same pull. False is certain.
   */
  mayBeShadowed(rays: View, a: number, b: number, c: number): boolean {
    const { u, v, h } = rays;
    const cells = this.#cells;
    const bound = this.#bound;
    cells.cover(u[a], v[a], u[b], v[b], u[c], v[c]);
    bound.set(u[a], v[a], h[a], u[b], v[b], h[b], u[c], v[c], h[c]);
    for (let row = cells.top; row <= cells.bottom; row++)
      for (let column = cells.from[row]; column <= cells.to[row]; column++)
        if (this.#ahead[row * cells.columns + column] > bound.least(column, row) + RAY_NEAR) return true;
    return false;
  }

  /**
   * Facets that face against the pull and may lie above a facet seen along the same pull, or not
   * more than `below` mm under it: each once, in no order.
   */
  facetsAhead(seen: Seen, below: number): number[] {
    const cells = this.#cells;
    const bound = this.#bound;
    cells.cover(seen[0], seen[1], seen[3], seen[4], seen[6], seen[7]);
    bound.set(...seen);
    const suspects: number[] = [];
    for (let row = cells.top; row <= cells.bottom; row++)
      for (let column = cells.from[row]; column <= cells.to[row]; column++) {
        const cell = row * cells.columns + column;
        if (this.#ahead[cell] > bound.least(column, row) - below) suspects.push(cell);
      }
    if (suspects.length === 0) return suspects;
    const lists = this.#entered;
    const found: number[] = [];
    this.#query++;
    for (const cell of suspects)
      for (let e = lists.first(cell); e >= 0; e = lists.next(e)) {
        const f = lists.facet(e);
        if (this.#seen[f] === this.#query) continue;
        this.#seen[f] = this.#query;
        found.push(f);
      }
    return found;
  }

  /** Whether the ray along the pull from a place and height meets the solid. */
  meetsAhead(u: number, v: number, h: number): boolean {
    if (!this.#cells.holds(u, v)) return false;
    const cell = this.#cells.row(v) * this.#cells.columns + this.#cells.column(u);
    if (this.#ahead[cell] <= h + RAY_NEAR) return false;
    const lists = this.#entered;
    const least = h + RAY_NEAR;
    for (let e = lists.first(cell); e >= 0; e = lists.next(e))
      if (this.#isAhead(lists.facet(e), u, v, least)) return true;
    return false;
  }

  /** Whether any corner of a facet is above a height. */
  #reachesAbove(f: number, least: number): boolean {
    const { h, mesh } = this.view;
    const t = mesh.triangles;
    return h[t[3 * f]] > least || h[t[3 * f + 1]] > least || h[t[3 * f + 2]] > least;
  }

  /** Whether a facet that faces against the pull covers a place above a height. */
  #isAhead(f: number, u: number, v: number, least: number): boolean {
    const { view } = this;
    const t = view.mesh.triangles;
    const a = t[3 * f];
    const b = t[3 * f + 1];
    const c = t[3 * f + 2];
    if (!this.#reachesAbove(f, least)) return false;
    const du = u - view.u[a];
    const dv = v - view.v[a];
    const bu = view.u[b] - view.u[a];
    const bv = view.v[b] - view.v[a];
    const cu = view.u[c] - view.u[a];
    const cv = view.v[c] - view.v[a];
    const turn = bu * cv - bv * cu;
    const wb = (du * cv - dv * cu) / turn;
    const wc = (bu * dv - bv * du) / turn;
    const wa = 1 - wb - wc;
    // Places on a shared edge belong to both facets, so that no ray slips through.
    return (
      wa >= -1e-9 && wb >= -1e-9 && wc >= -1e-9 && wa * view.h[a] + wb * view.h[b] + wc * view.h[c] > least
    );
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
      for (const lists of [this.#entered, this.#left])
        for (let e = lists.first(row * cells.columns + column); e >= 0; e = lists.next(e)) {
          const f = lists.facet(e);
          if (this.#seen[f] === this.#query) continue;
          this.#seen[f] = this.#query;
          if (!this.#reachesAbove(f, h + RAY_NEAR)) continue;
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

  /** Facets that face against the pull. */
  get #entered(): CellLists {
    return (this.#against ??= this.#sort(-1));
  }

  /** Facets that face along the pull. */
  get #left(): CellLists {
    return (this.#with ??= this.#sort(1));
  }

  #sort(side: 1 | -1): CellLists {
    const lists = new CellLists(this.#cells, this.#seen.length);
    const { mesh, u, v } = this.view;
    const t = mesh.triangles;
    for (let f = 0; f < this.#seen.length; f++) {
      if (side * seenArea(this.view, f) <= EDGE_ON) continue;
      const [a, b, c] = [t[3 * f], t[3 * f + 1], t[3 * f + 2]];
      lists.add(f, u[a], v[a], u[b], v[b], u[c], v[c]);
    }
    return lists;
  }
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
