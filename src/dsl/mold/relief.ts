import { overlapOf, type Seen } from "../leaving/overlap.ts";
import type { Mesh } from "../solid/mesh.ts";
import { boundsOf } from "../solid/measure.ts";
import type { Grid } from "./grid.ts";

/** The clay of a vessel seen along a level direction `d`: how far it stands out at a place across that and up. */
export interface Relief {
  /** The place between two feet, mm. */
  middle: [number, number];
  /** Below and above these heights there is nothing of the part to put a foot on, mm. */
  low: number;
  high: number;
  /** How far apart it is asked for, across and up, mm. */
  step: number;
  /**
   * How far the clay stands out along `d` beside a place across it, mm from the axis z: the most within
   * a step to either side, up or down; beyond its ends the same as there. −∞ where there is none.
   *
   * @param across from the axis z, counter-clockwise of `d`
   */
  out(d: readonly [number, number], across: number, z: number): number;
}

/** Grids have rows this near to each other and nearer, mm. */
const GRID_STEP = 4;
/** Triangles are cut where they are looked at: steep clay is followed more closely, mm. */
const MESH_STEP = 2;

/** Of a form with level sections, by the points of its grid. */
export function gridRelief(grid: Grid): Relief {
  const mean = (of: (c: { x: number; y: number }) => number) =>
    grid.centres.reduce((sum, c) => sum + of(c), 0) / grid.centres.length;
  return {
    middle: [mean((c) => c.x), mean((c) => c.y)],
    // A form ends level, and its parts with it.
    low: -Infinity,
    high: Infinity,
    step: GRID_STEP,
    out(d, across, z) {
      let most = -Infinity;
      const height = Math.min(grid.zs[grid.zs.length - 1], Math.max(grid.zs[0], z));
      grid.zs.forEach((level, j) => {
        const isNear =
          Math.abs(level - height) <= GRID_STEP || (grid.zs[j - 1] < height && grid.zs[j + 1] > height);
        if (!isNear) return;
        const c = grid.centres[j];
        const count = grid.columns.length;
        const place = (i: number) => {
          const [x, y] = [grid.x[j][i % count], grid.y[j][i % count]];
          return { s: x * d[0] + y * d[1], t: y * d[0] - x * d[1] };
        };
        const middle = c.x * d[0] + c.y * d[1];
        let a = place(0);
        for (let i = 1; i <= count; i++) {
          const b = place(i);
          const [low, high] = [
            Math.max(across - GRID_STEP, Math.min(a.t, b.t)),
            Math.min(across + GRID_STEP, Math.max(a.t, b.t)),
          ];
          if (low <= high && a.s + b.s > 2 * middle) {
            for (const t of [low, high]) {
              const share = a.t === b.t ? 0 : (t - a.t) / (b.t - a.t);
              most = Math.max(most, a.s + share * (b.s - a.s), a.t === b.t ? b.s : -Infinity);
            }
          }
          a = b;
        }
      });
      return most;
    },
  };
}

/**
 * Of any clay, by its triangles.
 *
 * @param middle of the part behind it, mm
 * @param ends heights between which the part lies along it, mm
 */
export function meshRelief(
  clay: Mesh,
  [x, y]: readonly number[],
  ends: { low: number; high: number },
): Relief {
  const { min, max } = boundsOf(clay);
  const seen = seenAlong(clay);
  return {
    middle: [x, y],
    ...ends,
    step: MESH_STEP,
    out(d, across, z) {
      const height = Math.min(max[2], Math.max(min[2], z));
      const [left, right, low, high] = [
        across - MESH_STEP,
        across + MESH_STEP,
        height - MESH_STEP,
        height + MESH_STEP,
      ];
      const windows: Seen[] = [
        [left, low, 0, right, low, 0, right, high, 0],
        [left, low, 0, right, high, 0, left, high, 0],
      ];
      let most = -Infinity;
      for (const one of seen(d)) {
        const [ta, za, , tb, zb, , tc, zc] = one;
        if (Math.min(ta, tb, tc) > right || Math.max(ta, tb, tc) < left) continue;
        if (Math.min(za, zb, zc) > high || Math.max(za, zb, zc) < low) continue;
        for (const window of windows) most = Math.max(most, overlapOf(window, one)?.most ?? -Infinity);
      }
      return most;
    },
  };
}

/** The triangles of a mesh seen along a level direction, the last one kept: place across, height, and how far out. */
function seenAlong({ positions: p, triangles: t }: Mesh): (d: readonly [number, number]) => readonly Seen[] {
  let last: { d: readonly [number, number]; seen: Seen[] } | null = null;
  return (d) => {
    if (last?.d[0] === d[0] && last.d[1] === d[1]) return last.seen;
    const corner = (v: number) =>
      [p[3 * v + 1] * d[0] - p[3 * v] * d[1], p[3 * v + 2], p[3 * v] * d[0] + p[3 * v + 1] * d[1]] as const;
    const seen: Seen[] = [];
    for (let i = 0; i < t.length; i += 3)
      seen.push([...corner(t[i]), ...corner(t[i + 1]), ...corner(t[i + 2])]);
    last = { d, seen };
    return seen;
  };
}
