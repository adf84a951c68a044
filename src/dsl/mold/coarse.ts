import type { Grid } from "./grid.ts";
import { shelfLevels, type Layout } from "./layout.ts";
import type { WallRow } from "./rows.ts";
import { COARSE_STATIONS, type SeamFace } from "./seam-face.ts";

/**
 * How far the parts may lie from the grid's own surface while a maker types, mm. They are there to
 * be looked at then; what is judged is the grid and the clay, which are as fine as ever.
 */
export const COARSE = 0.4;

/**
 * The rows that parts need to look right: those where a shelf or a band seat begins or ends, and of
 * the others as few as keep the cavity within `COARSE` of its grid. The squeeze gutter then runs out
 * over a longer stretch, and the cut of the bed edge too.
 */
export function coarseRows(
  grid: Grid,
  rows: readonly WallRow[],
  faces: readonly SeamFace[],
  layout: Layout,
): { rows: WallRow[]; faces: SeamFace[] } {
  const kept = keptRows(grid, rows, layout);
  return {
    rows: kept.map((r) => rows[r]),
    faces: faces.map(({ points, hollow, proud, cells }) => ({
      points: kept.map((r) => shown(points[r])),
      hollow: kept.map((r) => shown(hollow[r])),
      proud: kept.map((r) => shown(proud[r])),
      cells: kept.slice(0, -1).map((r, k) =>
        COARSE_STATIONS.slice(0, -1).map((s, i) => {
          const kinds = cells.slice(r, kept[k + 1]).flatMap((row) => row.slice(s, COARSE_STATIONS[i + 1]));
          return kinds.find((kind) => kind === "gutter") ?? kinds[0];
        }),
      ),
    })),
  };
}

const shown = <T>(stations: readonly T[]): T[] => COARSE_STATIONS.map((s) => stations[s]);

function keptRows(grid: Grid, rows: readonly WallRow[], layout: Layout): number[] {
  const needed = neededLevels(layout);
  const step = Math.max(1, Math.floor(grid.columns.length / 48));
  const kept = [0];
  for (let r = 1; r < rows.length; r++) {
    const { z, out } = rows[r];
    const last = kept[kept.length - 1];
    const isNeeded =
      r === rows.length - 1 || z <= 0 || out > 0 || needed.some((level) => Math.abs(level - z) < 1e-3);
    if (isNeeded) {
      if (last < r - 1 && strays(grid, rows, last, r, step)) kept.push(r - 1);
      kept.push(r);
    } else if (r - 1 > last && strays(grid, rows, last, r, step)) kept.push(r - 1);
  }
  return kept;
}

function neededLevels(layout: Layout): number[] {
  const { bands } = layout;
  return [
    0,
    ...shelfLevels(layout),
    ...bands.at.flatMap((z) => {
      const half = bands.width / 2;
      return [z - half - bands.depth, z - half, z + half, z + half + bands.depth];
    }),
  ];
}

/** Whether a row between two others lies further than `COARSE` from the straight way between them. */
function strays(grid: Grid, rows: readonly WallRow[], from: number, to: number, step: number): boolean {
  const low = rows[from];
  const high = rows[to];
  for (let r = from + 1; r < to; r++) {
    const row = rows[r];
    const share = (row.z - low.z) / (high.z - low.z);
    for (let i = 0; i < grid.columns.length; i += step) {
      const x = grid.x[low.grid][i] * (1 - share) + grid.x[high.grid][i] * share - grid.x[row.grid][i];
      const y = grid.y[low.grid][i] * (1 - share) + grid.y[high.grid][i] * share - grid.y[row.grid][i];
      if (Math.hypot(x, y) > COARSE) return true;
    }
  }
  return false;
}

/**
 * The points of a chain that keep it within `chord` of where it was, its ends among them
 * [S: Douglas & Peucker, Cartographica 10(2), 1973]. A chord of 0 keeps all.
 */
export function thinned<T extends { x: number; y: number }>(points: readonly T[], chord: number): T[] {
  if (chord <= 0 || points.length <= 2) return [...points];
  const keep = new Uint8Array(points.length);
  keep[0] = keep[points.length - 1] = 1;
  const spans: [number, number][] = [[0, points.length - 1]];
  for (let span = spans.pop(); span; span = spans.pop()) {
    const [from, to] = span;
    const a = points[from];
    const b = points[to];
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    let farthest = chord;
    let at = -1;
    for (let i = from + 1; i < to; i++) {
      const dx = points[i].x - a.x;
      const dy = points[i].y - a.y;
      const off = length < 1e-9 ? Math.hypot(dx, dy) : Math.abs(dx * (b.y - a.y) - dy * (b.x - a.x)) / length;
      if (off <= farthest) continue;
      farthest = off;
      at = i;
    }
    if (at < 0) continue;
    keep[at] = 1;
    spans.push([from, at], [at, to]);
  }
  return points.filter((_, i) => keep[i]);
}

/** The same for a closed ring. */
export function thinnedRing<T extends { x: number; y: number }>(ring: readonly T[], chord: number): T[] {
  if (chord <= 0 || ring.length <= 4) return [...ring];
  const away = ring.map(({ x, y }) => Math.hypot(x - ring[0].x, y - ring[0].y));
  const half = away.indexOf(Math.max(...away));
  const there = thinned(ring.slice(0, half + 1), chord);
  const back = thinned([...ring.slice(half), ring[0]], chord);
  const kept = [...there, ...back.slice(1, -1)];
  return kept.length < 3 ? [...ring] : kept;
}
