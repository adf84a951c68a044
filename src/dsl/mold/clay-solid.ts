import type { CallId } from "../../../shared/place.ts";
import { Border } from "../solid/border.ts";
import { MeshBuilder } from "../solid/builder.ts";
import { joinChains } from "../solid/strip.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { Grid } from "./grid.ts";
import { innerChain, type WallRow } from "./rows.ts";
import type { SeamLine } from "./seams.ts";

/**
 * The cavity as one closed solid, made of the very triangles of the plastic around it, so that clay
 * and plastic meet without gap or overlap. What no plastic covers (mouth, open base, the gap around
 * a floor) is closed by level caps.
 */
export function buildClay(plastic: readonly Tagged[], body: CallId): Tagged {
  const builder = new MeshBuilder();
  const border = new Border();
  builder.face("cavity", body);
  for (const { mesh, runs } of plastic) {
    const { positions: p, triangles: t } = mesh;
    const vertex = (i: number) => builder.vertex(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
    for (const run of runs) {
      if (run.face !== "cavity") continue;
      for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
        const [a, b, c] = [vertex(t[i]), vertex(t[i + 2]), vertex(t[i + 1])];
        builder.triangle(a, b, c);
        border.triangle(a, b, c);
      }
    }
  }
  const loops = border.loops();
  const foot = loops.filter((loop) => builder.z(loop[0]) === 0);
  const rim = loops.filter((loop) => builder.z(loop[0]) !== 0);
  // Seen from above, edges of the side run counter-clockwise along the foot and clockwise along the rim.
  builder.face("foot", body);
  builder.cap(foot, false);
  builder.face("rim", body);
  builder.cap(
    rim.map((loop) => [...loop].reverse()),
    true,
  );
  return builder.finish();
}

/**
 * The cavity as one closed solid on every row of the grid, where the plastic around it is meshed
 * more coarsely: what facets of the clay are judged against must lie on the same grid as they do.
 */
export function buildFineClay(
  grid: Grid,
  rows: readonly WallRow[],
  seams: readonly SeamLine[],
  body: CallId,
): Tagged {
  const builder = new MeshBuilder(grid.columns.length * grid.zs.length);
  const clay = rows.filter((row) => row.out === 0 && row.z > -1e-6);
  const rings: number[][] = clay.map(() => []);
  builder.face("cavity", body);
  seams.forEach((seam, i) => {
    const chains = clay.map((row, r) => {
      const chain = innerChain(grid, row, seam, seams[(i + 1) % seams.length]);
      const vertices = chain.map(({ x, y }) => builder.vertex(x, y, row.z));
      rings[r].push(...vertices.slice(0, -1));
      return { keys: chain.map((point) => point.u), vertices };
    });
    for (let r = 0; r + 1 < chains.length; r++) {
      const [low, high] = [chains[r], chains[r + 1]];
      const vertex = (index: number) => (index < 0 ? high.vertices[~index] : low.vertices[index]);
      joinChains(low.keys, high.keys, (a, b, c) => builder.triangle(vertex(a), vertex(b), vertex(c)));
    }
  });
  builder.face("foot", body);
  builder.cap([rings[0]], false);
  builder.face("rim", body);
  builder.cap([rings[rings.length - 1]], true);
  return builder.finish();
}
