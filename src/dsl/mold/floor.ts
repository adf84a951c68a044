import { MeshBuilder } from "../solid/builder.ts";

import { thinnedRing } from "./coarse.ts";
import type { Grid } from "./grid.ts";
import { floorChord, plateProfile, type Layout } from "./layout.ts";
import { pushOut } from "./rows.ts";
import type { WallCalls } from "./wall.ts";
import type { Tagged } from "../solid/tagged.ts";

/** The floor plate: its top is the clay's underside, its bevelled tongue sits in the walls' grooves. */
export function buildFloor(grid: Grid, layout: Layout, calls: WallCalls, chord = 0): Tagged {
  const builder = new MeshBuilder(grid.columns.length * 8);
  const centre = grid.centres[0];
  const all = grid.columns.map(({ u }, i) => ({ u, x: grid.x[0][i], y: grid.y[0][i] }));
  const edge = thinnedRing(all, floorChord(layout, chord));
  const rings = plateProfile(layout).map(({ z, out }) =>
    edge.map((point) => {
      const moved = pushOut(grid, { out, grid: 0, centre }, point);
      return builder.vertex(moved.x, moved.y, z);
    }),
  );
  builder.face("cavity", calls.body);
  builder.cap([rings[0]], true);
  builder.face("floor", calls.mold);
  builder.cap([rings[rings.length - 1]], false);
  for (let r = 0; r + 1 < rings.length; r++) {
    const [high, low] = [rings[r], rings[r + 1]];
    for (let i = 0; i < edge.length; i++) {
      const k = (i + 1) % edge.length;
      builder.quad(low[i], low[k], high[k], high[i]);
    }
  }
  return builder.finish();
}
