import type { CallId } from "../../../shared/place.ts";
import { MeshBuilder } from "../solid/builder.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { Grid } from "./grid.ts";
import type { Layout } from "./layout.ts";
import { radiusAt } from "./rows.ts";
import type { ShellRow } from "./shell.ts";

/** Ribs are no further apart than this at the rim, mm (practice). */
const SPACING = 60;
/** Ribs end this far inside the shelf's edge, mm, and their tops this far inside the shelf. */
const INSIDE = 1;

/**
 * Upright fins under the rim of a one-piece mold, from its shell out to the edge of the rim and down
 * to the table: it stands on them while clay is pressed in. They reach half-way into the shell, and
 * never into the cavity.
 *
 * @param outside the shell with its shelf on each row of the grid
 * @param foot height of the table, mm
 */
export function buildRibs(grid: Grid, outside: readonly ShellRow[], layout: Layout, call: CallId): Tagged[] {
  const last = grid.zs.length - 1;
  const rim = outside[last];
  const reach = Math.max(...rim.radii);
  // A multiple of four, so that they stand between the planes at which a mold is glued.
  const count = 4 * Math.ceil((2 * Math.PI * reach) / SPACING / 4);
  return Array.from({ length: count }, (_, i) => {
    const angle = (2 * Math.PI * (i + 0.5)) / count;
    return buildRib(grid, outside, layout, angle, call);
  });
}

function buildRib(
  grid: Grid,
  outside: readonly ShellRow[],
  layout: Layout,
  angle: number,
  call: CallId,
): Tagged {
  const last = grid.zs.length - 1;
  const half = layout.wall / 2;
  const [dx, dy] = [Math.cos(angle), Math.sin(angle)];
  const along = (j: number) =>
    (grid.centres[j].x - grid.centres[last].x) * dx + (grid.centres[j].y - grid.centres[last].y) * dy;
  const cavity = grid.zs.map((_, j) => cavityRow(grid, j));
  const extents = (row: ShellRow, j: number) =>
    [-1, 0, 1].map((side) => {
      const aside = Math.atan2(side * half, radiusAt(row, angle));
      return along(j) + radiusAt(row, angle + aside) * Math.cos(aside);
    });
  const top = layout.height - layout.shelf.thick / 2;
  const rows = grid.zs.flatMap((z, j) => {
    if (z >= top) return [];
    const clay = Math.max(...extents(cavity[j], j));
    const plastic = Math.min(...extents(outside[j], j));
    return [{ z, inner: Math.max((clay + plastic) / 2, clay + half / 4) }];
  });
  const edge =
    Math.max(...rows.map((row) => row.inner), ...outside.map((row, j) => along(j) + radiusAt(row, angle))) -
    INSIDE;
  const ends = [
    { z: layout.foot, inner: rows[0].inner },
    ...rows,
    { z: top, inner: rows[rows.length - 1].inner },
  ].filter((row, i, all) => i === 0 || row.z > all[i - 1].z + 1e-3);

  const builder = new MeshBuilder(8 * ends.length);
  builder.face("rib", call);
  const c = grid.centres[last];
  const vertex = (r: number, aside: number, z: number) =>
    builder.vertex(c.x + dx * r - dy * aside, c.y + dy * r + dx * aside, z);
  const rings = ends.map(({ z, inner }) => [
    vertex(Math.min(inner, edge - 0.1), -half, z),
    vertex(edge, -half, z),
    vertex(edge, half, z),
    vertex(Math.min(inner, edge - 0.1), half, z),
  ]);
  for (let r = 0; r + 1 < rings.length; r++) {
    for (let k = 0; k < 4; k++) {
      const n = (k + 1) % 4;
      builder.quad(rings[r][k], rings[r][n], rings[r + 1][n], rings[r + 1][k]);
    }
  }
  const [low, high] = [rings[0], rings[rings.length - 1]];
  builder.quad(low[3], low[2], low[1], low[0]);
  builder.quad(high[0], high[1], high[2], high[3]);
  return builder.finish();
}

/** The cavity's own outline on a row, as rays from its centre. */
export function cavityRow(grid: Grid, j: number): ShellRow {
  const c = grid.centres[j];
  const count = grid.columns.length;
  const angles = new Float64Array(count);
  const radii = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const [x, y] = [grid.x[j][i] - c.x, grid.y[j][i] - c.y];
    const angle = Math.atan2(y, x);
    radii[i] = Math.hypot(x, y);
    angles[i] =
      i === 0
        ? angle
        : Math.max(angles[i - 1], angle + 2 * Math.PI * Math.round((angles[i - 1] - angle) / (2 * Math.PI)));
  }
  return { angles, radii, us: Float64Array.from(grid.columns, (column) => column.u) };
}
