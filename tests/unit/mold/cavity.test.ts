import { beforeAll, describe, expect, it } from "vitest";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { mold, shrink, split } from "../../../src/dsl/index.ts";
import { normalOf } from "../../../src/dsl/form/form.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { exampleMold, exampleMolds } from "./example.ts";
import { insideOf, random } from "./inside.ts";
import { beakerMold, build, square, wavedMold } from "./samples.ts";

beforeAll(loadKernel);

const samples: [string, () => Mold][] = [
  ["octagon beaker", () => beakerMold()],
  ["beaker on a floor", () => beakerMold({ base: "floor" })],
  ["sharp square in two parts", () => mold(shrink(square(), 0.12), { seams: split({ at: 20 }) })],
  ["waves turned 40°", () => wavedMold(40, "form")],
  ["waves turned 40°, flat seams", () => wavedMold(40, "flat")],
  ["fluted carafe", () => exampleMold("fluted-carafe")],
  ["sugar jar", () => exampleMolds("sugar-jar")[0].mold],
  ["lid of the sugar jar, in one piece", () => exampleMolds("sugar-jar")[1].mold],
  ["tasting dish, in one piece", () => exampleMold("tasting-dish")],
];

const POINTS = 1000;

/** Off the defining surface, mm: more than twice the tolerance of an export. */
const OFF = 0.05;

describe("the cavity is the wet body", () => {
  for (const [name, make] of samples) {
    it(`${name}: ${POINTS} points just outside lie in exactly one wall, just inside in none (seed 7)`, () => {
      const { model, grid } = build(make());
      if (!grid) throw new Error("a loft has a grid");
      const walls = model.parts.filter((part) => part.role === "wall").map((part) => insideOf(part.mesh));
      const next = random(7);
      for (let k = 0; k < POINTS; k++) {
        const column = grid.form.column(next());
        const z = 1 + next() * (grid.form.height - 2);
        const p = column.at(z);
        const [nx, ny, nz] = normalOf(p);
        const count = (off: number) =>
          walls.filter((inside) => inside(p.x + off * nx, p.y + off * ny, z + off * nz)).length;
        expect([count(OFF), count(-OFF)], `u ${column.u}, z ${z}`).toEqual([1, 0]);
      }
    });
  }
});
