import { beforeAll, describe, expect, it } from "vitest";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { loft, mold, profile, shrink, split, type MoldOptions } from "../../../src/dsl/index.ts";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { loadKernel, withScope } from "../../../src/dsl/solid/kernel.ts";
import { randomDesign } from "./random-design.ts";
import { beakerMold, build, cylinder } from "./samples.ts";

beforeAll(loadKernel);

/** Distances at which a part is looked at on its way, mm. */
const WAY = [0.2, 0.5, 1, 2, 3, 5, 8, 13, 20, 40, 60];

/** The most that one part cuts into another on its way along `m`, mm³. */
function cutsInto(built: BuiltMold, part: string, m: readonly number[], other: string): number {
  const solidOf = (name: string) => built.model.parts.find((one) => one.name === name)!;
  return withScope((scope) => {
    const [a, b] = [scope.solid(solidOf(part)), scope.solid(solidOf(other))];
    return Math.max(
      ...WAY.map((way) => scope.commonVolume(scope.move(a, [m[0] * way, m[1] * way, m[2] * way]), b)),
    );
  });
}

const twisted = (twist: number, parts: number, more: MoldOptions = {}) => {
  const outline = profile.wave({ diameter: 80, waves: 5, amplitude: 2 });
  return mold(shrink(loft([outline.at(0), outline.turn(twist).at(100)]), 0.12), {
    seams: split({ parts, at: 0 }),
    ...more,
  });
};

describe("opening order", () => {
  it("eight parts: all leave, each naming the neighbours that are still there", () => {
    const { opened } = build(beakerMold({ seams: split({ parts: 8, at: "corners" }) }), "typing");
    expect(opened.stuck).toEqual([]);
    expect(opened.moves).toHaveLength(8);
    const gone = new Set<string>();
    for (const { part, against, mm } of opened.moves) {
      for (const other of against) expect(gone).not.toContain(other);
      expect(mm).toBeGreaterThan(0);
      gone.add(part);
    }
  });

  it("walls slide off the floor, which goes last and downwards", () => {
    const built = build(beakerMold({ base: "floor" }), "idle");
    const last = built.opened.moves.at(-1)!;
    expect(last).toMatchObject({ part: "floor", direction: [0, 0, -1], against: [] });
    for (const { part, direction, against } of built.opened.moves.slice(0, -1)) {
      expect(against).toContain("floor");
      expect(cutsInto(built, part, direction, "floor")).toBeLessThan(0.5);
    }
  });

  it("a wall that would rise off the floor's tongue is drawn level instead (seed 16)", () => {
    const built = build(randomDesign(16), "idle");
    expect(built.opened.stuck).toEqual([]);
    for (const { part, direction } of built.opened.moves)
      if (part !== "floor") expect(cutsInto(built, part, direction, "floor")).toBeLessThan(0.5);
  });

  it("while a maker types a floor holds nothing back, however coarse it is drawn", () => {
    const { opened } = build(beakerMold({ base: "floor" }), "typing");
    expect(opened.stuck).toEqual([]);
    expect(opened.moves.map((move) => move.part).at(-1)).toBe("floor");
  });

  it("standing on its rim no wall is drawn downwards, on its foot none through the table", () => {
    const rim = build(mold(shrink(cylinder(), 0.12), { stand: "rim", seams: split({ parts: 3 }) }), "typing");
    for (const { direction } of rim.opened.moves) expect(direction[2]).toBeLessThanOrEqual(1e-9);
  });
});

describe("parts that never come off", () => {
  it("160° of twist in three parts: each is held by the seams of the others, told part by part", () => {
    const built = build(twisted(160, 3), "idle");
    expect(built.opened.moves).toEqual([]);
    const found = checkMold(built).filter((finding) => finding.code === "part-locked");
    expect(found.map((finding) => finding.part)).toEqual(["wall-a", "wall-b", "wall-c"]);
    for (const { severity, value, args } of found) {
      expect(severity).toBe("error");
      expect(value).toBeGreaterThan(0);
      expect(args.others).toMatch(/wall-/);
    }
    for (const { part, direction, by } of built.opened.stuck)
      for (const hit of by)
        if (hit.areaMm2 > 20) expect(cutsInto(built, part, direction, hit.part)).toBeGreaterThan(0.5);
  });

  it("is told while a maker types, too", () => {
    const found = checkMold(build(twisted(160, 3), "typing")).filter((one) => one.code === "part-locked");
    expect(found.map((finding) => finding.part)).toEqual(["wall-a", "wall-b", "wall-c"]);
  });

  it("the same form with flat seams opens, and the proof moves every part", () => {
    const flat = twisted(160, 3, { seams: split({ parts: 3, at: 0, follow: "flat" }) });
    const built = build(flat, "idle");
    expect(built.opened.stuck).toEqual([]);
    expect(checkMold(built).map((finding) => finding.code)).not.toContain("part-locked");
    proveMold(built);
  });

  it("an exported mold that is locked still proves: its parts fit, they only do not leave", () => {
    proveMold(build(twisted(160, 3), "idle"));
  });

  it("two halves that reach around a floor by more than its clearance are held by it", () => {
    const built = build(twisted(40, 2, { base: "floor" }), "idle");
    const found = checkMold(built).filter((finding) => finding.code === "part-locked");
    expect(found.length).toBeGreaterThan(0);
    for (const { part, direction, by } of built.opened.stuck)
      for (const hit of by) expect(cutsInto(built, part, direction, hit.part)).toBeGreaterThan(0.5);
  });
});
