import type { CallId } from "../../../shared/place.ts";
import { MeshBuilder } from "../solid/builder.ts";
import type { Tagged } from "../solid/tagged.ts";
import { snap } from "../solid/weld.ts";
import { HUMP_SHELF } from "./hump-body.ts";
import { rowsOf, type HumpSurface } from "./hump-surface.ts";
import type { Layout } from "./layout.ts";
import { eroder, type ShellRow } from "./shell.ts";
import { radiusAt } from "./rows.ts";

const RAYS = 120;
const LEVELS = 40;
/** A hollow that is nowhere deeper than this, mm, saves nothing. */
const LEAST_DEPTH = 10;
/** The cutter starts this far outside the plastic, mm. */
const OVER = 1;

/**
 * What is taken out of a hump from below: its shell stays as thick as the wall, and nothing inside
 * hangs over by more than 45° as it prints on its shelf. Null where there is next to nothing to take.
 */
export function humpHollow(
  { grid, rings }: HumpSurface,
  slab: number,
  layout: Layout,
  call: CallId,
): { solid: Tagged; mouth: [number, number][] } | null {
  const { wall, height } = layout;
  const from = rings[0].z + wall;
  if (height - from < LEAST_DEPTH) return null;
  const levels = rowsOf(
    grid,
    Array.from({ length: LEVELS + 1 }, (_, i) => from + ((height - from) * i) / LEVELS),
  );
  const { rows } = eroder(grid, slab + wall)(levels);
  const inner = new Float64Array(RAYS);
  let last = from;
  const hollow = rows.map((row: ShellRow, j) => {
    const [z, c] = [levels.zs[j], levels.centres[j]];
    const points = Array.from({ length: RAYS }, (_, k): [number, number] => {
      const angle = (2 * Math.PI * k) / RAYS;
      const most = row.radii.every(Number.isFinite) ? radiusAt(row, angle) : 0;
      inner[k] = Math.max(0, Math.min(most, inner[k] + (z - last)));
      return [c.x + inner[k] * Math.cos(angle), c.y + inner[k] * Math.sin(angle)];
    });
    last = z;
    return { z, points, least: Math.min(...inner) };
  });
  const open = hollow.filter(({ least }) => least > LEAST_RADIUS);
  if (open.length < 2 || height - open[0].z < LEAST_DEPTH) return null;
  const builder = new MeshBuilder(RAYS * open.length);
  builder.face("outside", call);
  const mouth = open[open.length - 1].points;
  const all = [...open, { z: snap(height + HUMP_SHELF + OVER), points: mouth }];
  const loops = all.map(({ z, points }) => points.map(([x, y]) => builder.vertex(x, y, z)));
  for (let r = 0; r + 1 < loops.length; r++)
    for (let k = 0; k < RAYS; k++) {
      const n = (k + 1) % RAYS;
      builder.quad(loops[r][k], loops[r][n], loops[r + 1][n], loops[r + 1][k]);
    }
  builder.cap([loops[0]], false);
  builder.cap([loops[loops.length - 1]], true);
  return { solid: builder.finish(), mouth };
}

/** The flat at the top of a hollow, half as wide, mm: narrow enough to bridge. */
const LEAST_RADIUS = 2;
