import type { MoldSpec } from "../kit/mold.ts";
import { letter, seamName } from "./assemble.ts";
import type { Grid } from "./grid.ts";
import type { Layout } from "./layout.ts";
import { wallRows, type WallRow } from "./rows.ts";
import { makeSeamFace, type SeamFace } from "./seam-face.ts";
import { drawSeams, type SeamLine, type SeamPlan } from "./seams.ts";
import type { Shell } from "./shell.ts";

/** One storey of a mold: the walls between two cross seams, or all of them where there are none. */
export interface Ring {
  /** The rows of the mold's grid between its two ends, and the first of them in that grid. */
  grid: Grid;
  from: number;
  layout: Layout;
  seams: SeamLine[];
  rows: WallRow[];
  faces: SeamFace[];
  /** Names of its walls and of their first seams, counter-clockwise, and the seams' short names for an inscription. */
  walls: string[];
  seamNames: string[];
  marks: string[];
}

/** A level shelf stays this far inside the flanges of the seams, mm. */
const SHELF_INSIDE = 2;
/** The squeeze gutter of a seam stops this short of the ends of its ring, mm. */
const GUTTER_END = 3;

/** Layouts of the rings between levels, wet, from the foot up; the mold's own where there are none. */
export function ringLayouts(layout: Layout, levels: readonly number[], spec: MoldSpec): Layout[] {
  if (levels.length === 0) return [layout];
  const ends = [0, ...levels, layout.height];
  const width = layout.flange.width - SHELF_INSIDE;
  return ends.slice(1).map((height, r): Layout => {
    const low = ends[r];
    const [lowest, highest] = [r === 0, r === levels.length];
    const share = (height - low) / layout.height;
    const { count } = spec.bands;
    const bands = count === 0 ? 0 : Math.max(1, Math.round(count * share));
    return {
      ...layout,
      height,
      foot: lowest ? layout.foot : low,
      bands: {
        ...layout.bands,
        at: Array.from({ length: bands }, (_, i) => low + ((height - low) * (i + 0.5)) / bands),
      },
      gutter: { from: low + GUTTER_END, to: height - GUTTER_END },
      floor: layout.floor && lowest,
      joints: { ...(lowest ? {} : { foot: width }), ...(highest ? {} : { rim: width }) },
      // Tongues are on the end from which a ring is taken off; that end never lies on the bed.
      ...(spec.stand === "foot" && !lowest ? { bed: "rim" as const } : {}),
    };
  });
}

/** The rings on a grid that has their ends among its rows. */
export function makeRings(
  grid: Grid,
  shell: Shell,
  plans: readonly SeamPlan[],
  layouts: readonly Layout[],
): Ring[] {
  return layouts.map((given, r) => {
    const single = layouts.length === 1;
    const from = given.joints?.foot === undefined ? 0 : nearestRow(grid, given.foot);
    const to = nearestRow(grid, given.height);
    const own = single ? grid : between(grid, from, to);
    const layout = single ? given : onRows(given, own);
    const seams = drawSeams(own, plans);
    const rows = wallRows(own, single ? shell : { rows: shell.rows.slice(from, to + 1) }, seams, layout);
    const faces = seams.map((seam, i) => makeSeamFace(own, rows, seam, i, layout));
    const number = String(r + 1);
    return {
      grid: own,
      from,
      layout,
      seams,
      rows,
      faces,
      walls: seams.map((_, i) => (single ? `wall-${letter(i)}` : `ring-${number}-${letter(i)}`)),
      seamNames: seams.map((_, i) => (single ? seamName(i) : `ring-${number}-${seamName(i)}`)),
      marks: seams.map((_, i) => (single ? String(i + 1) : `${number}.${i + 1}`)),
    };
  });
}

function nearestRow({ zs }: Grid, z: number): number {
  return zs.reduce((best, own, j) => (Math.abs(own - z) < Math.abs(zs[best] - z) ? j : best), 0);
}

/** The rows of a grid from one to another, both among them. */
export function between(grid: Grid, from: number, to: number): Grid {
  const rows = <T>(list: readonly T[]) => list.slice(from, to + 1);
  return {
    ...grid,
    zs: rows(grid.zs),
    centres: rows(grid.centres),
    x: rows(grid.x),
    y: rows(grid.y),
  };
}

/** The ends of a ring are rows of the grid, to the last bit. */
function onRows(layout: Layout, { zs }: Grid): Layout {
  const { joints } = layout;
  return {
    ...layout,
    height: zs[zs.length - 1],
    foot: joints?.foot === undefined ? layout.foot : zs[0],
  };
}

/** The rows of all rings as rows of the mold's grid, each level once. */
export function clayRows(rings: readonly Ring[]): WallRow[] {
  return rings.flatMap(({ rows, from }, r) =>
    rows.slice(r > 0 ? 1 : 0).map((row) => ({ ...row, grid: row.grid + from })),
  );
}
