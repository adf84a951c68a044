import { beforeAll, describe, expect, it } from "vitest";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { mold, shrink, split } from "../../../src/dsl/index.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { openEdges, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { proveContact } from "../../../src/dsl/solid/proof.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { exampleMold, exampleMolds } from "./example.ts";
import { beakerMold, build, cylinder, square, wavedDish, wavedMold } from "./samples.ts";

beforeAll(loadKernel);

const samples: [string, () => Mold][] = [
  ["octagon beaker", () => beakerMold()],
  ["fluted carafe", () => exampleMold("fluted-carafe")],
  ["sugar jar", () => exampleMolds("sugar-jar")[0].mold],
  ["lid of the sugar jar", () => exampleMolds("sugar-jar")[1].mold],
  ["tasting dish in one piece", () => exampleMold("tasting-dish")],
  [
    "waved dish in one piece, glued from four, without a base",
    () => mold(shrink(wavedDish(), 0.12), { seams: split.whole({ glue: 4 }), base: "open" }),
  ],
  ["octagon beaker on a floor", () => beakerMold({ base: "floor" })],
  ["waves turned 10°, seams with the form", () => wavedMold(10, "form")],
  ["waves turned 10°, flat seams", () => wavedMold(10, "flat")],
  ["waves turned 40°, seams with the form", () => wavedMold(40, "form")],
  ["waves turned 40°, flat seams", () => wavedMold(40, "flat")],
  [
    "square, seams beside its corners",
    () => mold(shrink(square(), 0.12), { seams: split({ parts: 3, at: 1 }) }),
  ],
  ["round, best seams, floor", () => mold(shrink(cylinder(), 0.12), { base: "floor" })],
];

describe("proof of a mold", () => {
  for (const [name, make] of samples) {
    it(`${name}: no gap, no overlap, volumes add up, parts come off`, () => {
      const built = build(make());
      const proof = proveMold(built);
      expect(Math.abs(proof.differenceMm3)).toBeLessThan(1e-6 * proof.outerMm3);
      expect(proof.overlapMm3).toBeLessThan(1);
      for (const part of built.model.parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
    });
  }
});

describe("what the proof notices", () => {
  const pieces = () => {
    const { bare, clay } = build(beakerMold(), "idle");
    return [...bare, { name: "clay", ...clay }];
  };

  it("nothing in what is whole", () => {
    expect(proveContact(pieces()).faults).toEqual([]);
  });

  it("a vertex of one seam face moved by 0.001 mm", () => {
    const all = pieces();
    const wall = all[0];
    const seam = wall.runs.find((run) => run.face === "seam")!;
    wall.mesh.positions[3 * wall.mesh.triangles[3 * seam.start]] += 0.001;
    expect(proveContact(all).faults.join()).toMatch(/meet no neighbour/);
  });

  it("a cavity facet split by its other diagonal", () => {
    const all = pieces();
    const { mesh, runs } = all[0];
    const cavity = runs.find((run) => run.face === "cavity")!;
    const t = mesh.triangles;
    // The first two facets of the cavity that follow one another and share an edge: turn it.
    const pair = (k: number) => [[...t.slice(k, k + 3)], [...t.slice(k + 3, k + 6)]];
    const common = (k: number) => pair(k)[0].filter((v) => pair(k)[1].includes(v));
    let i = 3 * cavity.start;
    while (common(i).length !== 2) i += 3;
    expect(i / 3 + 1).toBeLessThan(cavity.start + cavity.count);
    const [f, g] = pair(i);
    const shared = common(i);
    const own = f.find((v) => !shared.includes(v))!;
    const other = g.find((v) => !shared.includes(v))!;
    const k = f.indexOf(own);
    const [a, b] = [f[(k + 1) % 3], f[(k + 2) % 3]];
    t.set([own, a, other], i);
    t.set([own, other, b], i + 3);
    expect(openEdges(mesh)).toBe(0);
    expect(proveContact(all).faults.join()).toMatch(/wall-a: 2 cavity|wall-a: cavity: 2|clay: cavity: 2/);
  });

  it("a part left out", () => {
    const all = pieces();
    expect(proveContact(all.slice(1)).faults.length).toBeGreaterThan(0);
  });

  it("clay that is larger than the cavity", () => {
    const all = pieces();
    const clay = all[all.length - 1].mesh;
    const before = volumeOf(clay);
    for (let i = 0; i < clay.positions.length; i++) if (i % 3 !== 2) clay.positions[i] *= 1.0001;
    expect(volumeOf(clay)).toBeGreaterThan(before);
    expect(proveContact(all).faults.length).toBeGreaterThan(0);
  });
});
