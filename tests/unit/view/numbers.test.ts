import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";

const ENTRY = "/designs/sample.mold.ts";
const engine = new Engine(parts, () => undefined);
const beaker = readFileSync(join(import.meta.dirname, "../../../examples/octagon-beaker.mold.ts"), "utf8");

async function build(text: string) {
  const { problem, molds } = await engine.build({
    type: "build",
    id: 1,
    entry: ENTRY,
    root: "/designs",
    overlays: { [ENTRY]: text },
    overrides: {},
    quality: "idle",
    have: [],
    fixes: false,
  });
  expect(problem).toBeUndefined();
  return molds;
}

describe("a mold in numbers", () => {
  it("says of the beaker what its own code says", async () => {
    const [{ numbers, calls, fired, wet }] = await build(beaker);
    if (!numbers) throw new Error("no numbers");
    expect(numbers.clay.total).toBeCloseTo(0.125, 12);
    expect(numbers.slab).toBe(6);
    expect(fired[2]).toBeCloseTo(104, 3);
    expect(wet[2]).toBeCloseTo(104 / 0.875, 3);
    expect(numbers.seams.map(({ name }) => name)).toEqual(["seam-1", "seam-2", "seam-3", "seam-4"]);
    expect(numbers.seams.every(({ keys }) => keys >= 2)).toBe(true);
    expect(numbers.moves.map(({ part }) => part).toSorted()).toEqual([
      "wall-a",
      "wall-b",
      "wall-c",
      "wall-d",
    ]);
    expect(numbers.parts.map(({ role }) => role)).toContain("cutter");
    const drafts = numbers.parts.flatMap(({ draftDeg }) => draftDeg ?? []);
    expect(numbers.leastDraftDeg).toBe(Math.min(...drafts));
    // Loss of mass: (1 − w)(1 − LOI) with w 0.22 and LOI 0.07 is 0.7254 (derived).
    expect(numbers.fired!.massG / numbers.wet.massG).toBeCloseTo(0.7254, 6);
    expect(numbers.parts.every(({ filamentG, printHours }) => filamentG > 0 && printHours > 0)).toBe(true);
    // mold, loft, shrink.
    expect(new Set(calls).size).toBe(3);
  });

  it("has none for a body without a mold, and leaves the fired pot out where the printer scales", async () => {
    const body = beaker.replace(/export default mold[\s\S]*/, "export default beaker;\n");
    const [bare] = await build(body);
    expect(bare.numbers).toBeNull();
    expect(bare.calls).toHaveLength(1);
    const [later] = await build(beaker.replace("shrink(beaker, 0.125)", "shrink(beaker, 0)"));
    expect(later.numbers?.fired).toBeNull();
  });
});
