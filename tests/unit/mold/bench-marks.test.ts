import { beforeAll, describe, expect, it } from "vitest";
import { cutter, mold, shrink, split } from "../../../src/dsl/index.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { inscription } from "../../../src/dsl/mold/marks.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel, withScope } from "../../../src/dsl/solid/kernel.ts";
import { volumeOf } from "../../../src/dsl/solid/measure.ts";
import { exampleMold } from "./example.ts";
import { beakerMold, build, cylinder, square } from "./samples.ts";

beforeAll(loadKernel);

describe("engraved marks", () => {
  it("tell the mold, the part and the shrinkage, or that someone is still to scale it", () => {
    expect(inscription("beaker", "wall-a", 0.125)).toBe("BEAKER A 12.5%");
    expect(inscription("beaker", "ring-2-b", 0.12)).toBe("BEAKER 2B 12%");
    expect(inscription("beaker", "wall-a", 0)).toBe("BEAKER A NOT SCALED");
  });

  const samples: [string, () => Mold][] = [
    ["octagon beaker", () => beakerMold()],
    ["carafe, whose flanges turn", () => exampleMold("fluted-carafe")],
    ["dish, on its underside", () => exampleMold("tasting-dish")],
    ["handle, on its backs", () => exampleMold("beaker-handle")],
  ];
  for (const [name, make] of samples) {
    it(`${name}: every stroke is cut into the plastic as deep as it should, and the proof holds`, () => {
      const built = build(make(), "idle");
      for (const { part, cuts } of built.changes) {
        const marks = cuts.filter((cut) => cut.runs[0].face === "mark");
        withScope((scope) => {
          const bare = scope.solid(built.bare.find((one) => one.name === part)!);
          const all = scope.union(marks.map((mark) => scope.solid(mark)));
          // No less than its letter and the shrinkage.
          expect(scope.apart(all).length, part).toBeGreaterThanOrEqual(5);
          // Strokes reach 0.5 mm into the air and 0.6 mm into the plastic.
          const share = scope.commonVolume(bare, all) / all.volume;
          expect(share, part).toBeGreaterThan(0.5);
          expect(share, part).toBeLessThan(0.6);
        });
      }
      for (const part of built.model.parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
      proveMold(built);
    });
  }

  it("are left out where they are not wanted", () => {
    const { changes } = build(beakerMold({ marks: false }), "idle");
    expect(changes.flatMap((change) => change.cuts).some((cut) => cut.runs[0].face === "mark")).toBe(false);
  });
});

describe("slots to lever at", () => {
  it("one in each seam, open to the air, 10 × 4 × 1.5 mm, clear of keys", () => {
    const built = build(beakerMold({ marks: false }), "idle");
    for (const { part, cuts } of built.changes) {
      const slots = cuts.filter((cut) => cut.runs[0].face === "pry");
      expect(slots, part).toHaveLength(1);
      withScope((scope) => {
        const bare = scope.solid(built.bare.find((one) => one.name === part)!);
        const slot = scope.solid(slots[0]);
        expect(scope.commonVolume(bare, slot)).toBeCloseTo(10 * 4 * 1.5, 0);
        const keys = cuts.filter((cut) => cut.runs[0].face === "key");
        for (const key of keys) expect(scope.commonVolume(slot, scope.solid(key))).toBe(0);
      });
    }
  });

  it("are left out where they are not wanted", () => {
    const with_ = build(beakerMold(), "idle").model.parts[0];
    const without = build(beakerMold({ pry: false }), "idle").model.parts[0];
    expect(volumeOf(without.mesh) - volumeOf(with_.mesh)).toBeCloseTo(60, 0);
  });
});

describe("a floor with vents", () => {
  it("lets the air out through the plate alone", () => {
    const built = build(mold(shrink(cylinder(), 0.12), { base: "floor" }), "export");
    proveMold(built);
    const floor = built.model.parts.find((part) => part.name === "floor")!;
    const bare = built.bare.find((part) => part.name === "floor")!;
    expect(volumeOf(floor.mesh)).toBeLessThan(volumeOf(bare.mesh));
  });
});

describe("rails", () => {
  it("are as thick as the slab and as long as asked, in pieces that fit the bed", () => {
    const made = mold(shrink(square(), 0.12), {
      slab: 7,
      seams: split({ parts: 4, at: "corners" }),
      cutters: [cutter.rails({ length: 300 })],
    });
    const rails = build(made, "idle").model.parts.filter((part) => part.role === "rail");
    expect(rails.map((rail) => rail.name)).toEqual(["rail-1", "rail-2", "rail-3", "rail-4"]);
    const total = rails.reduce((sum, rail) => sum + volumeOf(rail.mesh), 0);
    expect(total).toBeCloseTo(2 * 300 * 20 * 7, 0);
  });
});
