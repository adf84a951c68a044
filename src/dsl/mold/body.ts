import type { Quality } from "../../../shared/engine.ts";
import { Form } from "../form/form.ts";
import type { Body } from "../kit/body.ts";
import { MeshBuilder } from "../solid/builder.ts";

import { withScope } from "../solid/kernel.ts";
import { boundsOf } from "../solid/measure.ts";
import { tidy } from "../solid/tidy.ts";
import { SURFACE } from "../tolerances.ts";
import { freeShape } from "./free-shape.ts";
import { makeGrid } from "./grid.ts";
import type { Vec3 } from "./model.ts";
import { clayScale } from "./scale.ts";
import type { Tagged } from "../solid/tagged.ts";

/** A body as one closed solid, wet size, with its outside sizes fired and wet, mm. */
export function buildBody(body: Body, quality: Quality): { solid: Tagged; fired: Vec3; wet: Vec3 } {
  const { cavity } = clayScale(body);
  const tolerance = SURFACE[quality];
  const solid = body.solid
    ? withScope((scope) => tidy(scope.mesh(freeShape(scope, body, cavity, tolerance, RUN_ON).clay)))
    : buildLoft(body, cavity, tolerance);
  const { min, max } = boundsOf(solid.mesh);
  const wet: Vec3 = [max[0] - min[0], max[1] - min[1], max[2] - min[2]];
  return { solid, wet, fired: [wet[0] / cavity, wet[1] / cavity, wet[2] / cavity] };
}

/** How far a solid runs on behind its openings before it is cut there, mm. */
const RUN_ON = 5;

/** A loft as one closed solid, wet size. */
export function buildLoft(body: Body, scale: number, tolerance: number): Tagged {
  const form = new Form(body, scale);
  const grid = makeGrid(form, { tolerance, us: [], zs: [], turn: 0.26 });
  const builder = new MeshBuilder(grid.columns.length * grid.zs.length);
  builder.face("cavity", body.call);
  const rings = grid.zs.map((z, j) =>
    grid.columns.map((_, i) => builder.vertex(grid.x[j][i], grid.y[j][i], z)),
  );
  for (let j = 0; j + 1 < rings.length; j++) {
    for (let i = 0; i < grid.columns.length; i++) {
      const k = (i + 1) % grid.columns.length;
      builder.quad(rings[j][i], rings[j][k], rings[j + 1][k], rings[j + 1][i]);
    }
  }
  builder.face("foot", body.call);
  builder.cap([rings[0]], false);
  builder.face("rim", body.call);
  builder.cap([rings[rings.length - 1]], true);
  return builder.finish();
}
