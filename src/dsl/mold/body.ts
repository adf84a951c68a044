import type { Quality } from "../../../shared/engine.ts";
import { Form } from "../form/form.ts";
import type { Body } from "../kit/body.ts";
import { MeshBuilder } from "../solid/builder.ts";

import { boundsOf } from "../solid/measure.ts";
import { SURFACE } from "../tolerances.ts";
import { makeGrid } from "./grid.ts";
import type { Vec3 } from "./model.ts";
import { clayScale } from "./scale.ts";
import type { Tagged } from "../solid/tagged.ts";

/** A body as one closed solid, wet size, with its outside sizes fired and wet, mm. */
export function buildBody(body: Body, quality: Quality): { solid: Tagged; fired: Vec3; wet: Vec3 } {
  const { cavity } = clayScale(body);
  const form = new Form(body, cavity);
  const grid = makeGrid(form, { tolerance: SURFACE[quality], us: [], zs: [], turn: 0.26 });
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
  const solid = builder.finish();
  const { min, max } = boundsOf(solid.mesh);
  const wet: Vec3 = [max[0] - min[0], max[1] - min[1], max[2] - min[2]];
  return { solid, wet, fired: [wet[0] / cavity, wet[1] / cavity, wet[2] / cavity] };
}
