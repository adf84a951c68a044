import { pushOut, type WallRow } from "./rows.ts";
import type { Grid } from "./grid.ts";
import { CHAMFER_FADE, gutterDepth, GUTTER_START, GUTTER_WIDTH, type Layout } from "./layout.ts";
import type { SeamLine } from "./seams.ts";

/** One point of a seam face. */
export interface FacePoint {
  x: number;
  y: number;
  z: number;
}

/**
 * A seam face as both its parts share it: on each row a level ruling from the cavity edge outwards
 * through the same stations. Level rulings lie in different planes, so the face cannot cross itself.
 */
export interface SeamFace {
  /** [row][station], on the face itself. */
  points: FacePoint[][];
  /** [row][station], where the part with the gutter has its face instead, and the other part. */
  hollow: FacePoint[][];
  proud: FacePoint[][];
  /** What each cell between rows r, r+1 and stations s, s+1 is: [row][station]. */
  cells: ("seam" | "gutter" | "chamfer")[][];
}

/** Distances from the cavity edge of every station but the last, which is the flange's edge. */
const STATIONS = [
  0,
  CHAMFER_FADE,
  GUTTER_START,
  GUTTER_START + 0.3 * GUTTER_WIDTH,
  GUTTER_START + 0.7 * GUTTER_WIDTH,
  GUTTER_START + GUTTER_WIDTH,
];

/** Indices of the stations that show a face with its gutter, the gutter as a notch. */
export const COARSE_STATIONS = [0, 2, 3, 5, 6] as const;

/** A chamfer stays within this share of the angle between a seam and the clay that it leaves, as a tangent. */
const WITHIN_ANGLE = 0.5;

/** Distance from the cavity edge in which the chamfer of the bed edge reaches its depth: longer where the clay runs almost along the seam. */
function chamferFade(grid: Grid, seam: SeamLine, j: number, depth: number): number {
  const { ux, uy } = grid.form.column(seam.us[j] - Math.floor(seam.us[j])).at(grid.zs[j]);
  const across = Math.abs(seam.dirX[j] * uy - seam.dirY[j] * ux);
  const along = Math.abs(seam.dirX[j] * ux + seam.dirY[j] * uy);
  return Math.max(CHAMFER_FADE, (depth * along) / (WITHIN_ANGLE * across));
}

/** @param index which seam of the rows' flange list this is */
export function makeSeamFace(
  grid: Grid,
  rows: readonly WallRow[],
  seam: SeamLine,
  index: number,
  layout: Layout,
): SeamFace {
  const points: FacePoint[][] = [];
  const hollow: FacePoint[][] = [];
  const proud: FacePoint[][] = [];
  for (const row of rows) {
    const j = row.grid;
    const cavity = { u: seam.us[j], x: seam.x[j], y: seam.y[j] };
    const edge = row.out === 0 ? cavity : pushOut(grid, row, cavity, true);
    const dx = seam.dirX[j];
    const dy = seam.dirY[j];
    const start = (edge.x - row.centre.x) * dx + (edge.y - row.centre.y) * dy;
    const length = row.flange[index] - start;
    const at = (distance: number, aside: number): FacePoint => ({
      x: edge.x + dx * distance - dy * aside,
      y: edge.y + dy * distance + dx * aside,
      z: row.z,
    });
    const stations = [...STATIONS, length];
    const fade = row.chamfer > 0 ? chamferFade(grid, seam, j, row.chamfer) : CHAMFER_FADE;
    const cut = (distance: number) => row.chamfer * Math.min(1, distance / fade);
    points.push(stations.map((distance) => at(distance, 0)));
    // The part after the seam lies on its counter-clockwise side and carries the sockets.
    hollow.push(
      stations.map((distance) => at(distance, cut(distance) + gutterDepth(layout, row.z, distance))),
    );
    proud.push(stations.map((distance) => at(distance, -cut(distance))));
  }
  const gutterFrom = STATIONS.indexOf(GUTTER_START);
  const cells = rows.slice(0, -1).map((row, r) =>
    STATIONS.map((_, s) => {
      if (row.chamfer > 0 || rows[r + 1].chamfer > 0) return "chamfer" as const;
      const deep = gutterDepth(layout, row.z, GUTTER_START + GUTTER_WIDTH / 2) > 0;
      const deepAbove = gutterDepth(layout, rows[r + 1].z, GUTTER_START + GUTTER_WIDTH / 2) > 0;
      const within = s >= gutterFrom && s < STATIONS.length - 1;
      return within && (deep || deepAbove) ? ("gutter" as const) : ("seam" as const);
    }),
  );
  return { points, hollow, proud, cells };
}
