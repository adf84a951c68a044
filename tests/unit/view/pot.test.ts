import { beforeAll, describe, expect, it } from "vitest";
import { loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import { insideVolume } from "../../../src/dsl/mold/capacity.ts";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { openEdges, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { potOf } from "../../../src/dsl/view/pot.ts";
import { beakerMold, build, wavedMold } from "../mold/samples.ts";

beforeAll(loadKernel);

/** Wet, mm³: the cavity without the room inside the slab, by the rows that capacity is reckoned from. */
function clayOf({ model, spec, grid }: BuiltMold): number {
  if (!grid || spec.slab === "solid") throw new Error("no room");
  return volumeOf(model.vessel.mesh) - insideVolume(grid, spec.slab, spec.base.slab);
}

describe("the clay as it is looked at", () => {
  it.each([
    ["the beaker", () => beakerMold(), 0.01],
    ["a waved, twisted form", () => wavedMold(20, "form"), 0.02],
  ])("is %s closed, and as thick as its slab", (_name, mold, share) => {
    for (const quality of ["idle", "typing"] as const) {
      const built = build(mold(), quality);
      const pot = potOf(built, quality);
      expect(openEdges(pot.mesh)).toBe(0);
      const clay = clayOf(built);
      expect(Math.abs(volumeOf(pot.mesh) / clay - 1)).toBeLessThan(quality === "idle" ? share : 0.08);
      const inside = pot.runs.find(({ face }) => face === "inside");
      expect(inside?.call).toBe(built.spec.call);
    }
  });

  it("costs a coarse picture next to nothing", () => {
    const built = build(beakerMold(), "typing");
    const more = potOf(built, "typing").mesh.triangles.length - built.model.vessel.mesh.triangles.length;
    expect(more / 3).toBeLessThan(400);
  });

  it("is the cavity where the slab fills it", () => {
    const cup = loft([profile.circle({ diameter: 70 }).at(0), profile.circle({ diameter: 72 }).at(60)]);
    const built = build(mold(shrink(cup, 0.1), { slab: 40, seams: split({ parts: 2 }) }), "typing");
    expect(potOf(built, "typing")).toBe(built.model.vessel);
  });
});
