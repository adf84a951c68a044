import { beforeAll, describe, expect, it } from "vitest";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { mold, shrink, split } from "../../../src/dsl/index.ts";
import { normalOf } from "../../../src/dsl/form/form.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { random, winding } from "./inside.ts";
import { beakerMold, build, square, wavedMold } from "./samples.ts";

beforeAll(loadKernel);

const samples: [string, () => Mold, number][] = [
  ["octagon beaker", () => beakerMold(), 1000],
  ["beaker on a floor", () => beakerMold({ base: "floor" }), 200],
  ["sharp square in two parts", () => mold(shrink(square(), 0.12), { seams: split({ at: 20 }) }), 300],
  ["waves turned 40°", () => wavedMold(40, "form"), 60],
  ["waves turned 40°, flat seams", () => wavedMold(40, "flat"), 60],
];

/** Off the defining surface, mm: more than twice the tolerance of an export. */
const OFF = 0.05;

describe("the cavity is the wet body", () => {
  for (const [name, make, points] of samples) {
    it(`${name}: ${points} points just outside lie in exactly one wall, just inside in none (seed 7)`, () => {
      const { model, grid } = build(make());
      if (!grid) throw new Error("a loft has a grid");
      const walls = model.parts.filter((part) => part.role === "wall");
      const next = random(7);
      for (let k = 0; k < points; k++) {
        const column = grid.form.column(next());
        const z = 1 + next() * (grid.form.height - 2);
        const p = column.at(z);
        const [nx, ny, nz] = normalOf(p);
        const count = (off: number) =>
          walls.filter((wall) => winding(wall.mesh, p.x + off * nx, p.y + off * ny, z + off * nz) > 0.5)
            .length;
        expect([count(OFF), count(-OFF)], `u ${column.u}, z ${z}`).toEqual([1, 0]);
      }
    });
  }
});
