import modeling from "@jscad/modeling";
import { beforeAll, describe, expect, it } from "vitest";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { cutter, loft, mold, shrink, solid, split, trim } from "../../../src/dsl/index.ts";
import type { Mold, MoldOptions } from "../../../src/dsl/kit/mold.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { boundsOf, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { bean } from "./free-bodies.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

/** A bean-shaped dish that opens upwards. */
const dish = (more: MoldOptions = {}, glue: 1 | 2 | 4 = 1): Mold =>
  mold(shrink(loft([bean().scale(0.9).at(0), bean().at(38)]), 0.12), {
    seams: split.whole({ glue }),
    ...more,
  });

/** A slice of a ball of 80 mm, from 32 to 10 mm below its middle. */
const bowl = () => {
  const { booleans, primitives } = modeling;
  const slice = primitives.cuboid({ size: [200, 200, 22], center: [0, 0, -21] });
  return solid(booleans.intersect(primitives.sphere({ radius: 40, segments: 64 }), slice));
};

describe("a mold of one piece of a body that is not seen whole from its middle", () => {
  it.each([
    ["on a closed base", dish()],
    ["open at its foot", dish({ base: "open" })],
    ["of a mesh", mold(shrink(bowl(), 0.12), { seams: split.whole() })],
    ["in two pieces, glued", dish({}, 2)],
    ["in four", dish({}, 4)],
  ])("%s: its parts are closed, their volumes add up, and it lifts off", (_, one) => {
    const built = build(one);
    for (const part of built.model.parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
    const proof = proveMold(built);
    expect(Math.abs(proof.differenceMm3)).toBeLessThan(1e-6 * proof.outerMm3);
    expect(built.opened.stuck).toEqual([]);
    const walls = built.model.parts.filter(({ role }) => role === "wall");
    expect(walls).toHaveLength(one.spec.seams.glue);
    for (const { pull, draftDeg, undercutMm2 } of walls) {
      expect(pull![2]).toBeLessThan(-0.99);
      // It narrows by a tenth over its height: the bean's hollow, nearest to its middle, leans least.
      expect(draftDeg).toBeGreaterThan(0.2);
      expect(undercutMm2).toBe(0);
    }
  });

  it("stands on a shelf, has a base of the wall under the clay, and marks and vents in it", () => {
    const built = build(dish());
    const [wall] = built.model.parts.filter(({ role }) => role === "wall");
    const { min, max } = boundsOf(wall.mesh);
    expect(min[2]).toBeCloseTo(-built.model.build.wall, 1);
    expect(max[2]).toBeCloseTo(38 / 0.88, 2);
    const faces = new Set(
      built.changes.flatMap(({ cuts }) => cuts.flatMap(({ runs }) => runs.map(({ face }) => face))),
    );
    expect([...faces].sort()).toEqual(["mark", "vent"]);
  });

  it("holds what its room does: with a slab of next to nothing all of the body", () => {
    const built = build(dish({ slab: 1 }));
    const inside = built.room!.volume / volumeOf(built.clay.mesh);
    expect(inside).toBeGreaterThan(0.9);
    expect(inside).toBeLessThan(1);
  });

  it("has a cutter for its base, and no finding but for its draft", () => {
    const built = build(dish({ cutters: [cutter.base()] }), "idle");
    expect(built.model.parts.map(({ name }) => name)).toContain("cutter-base");
    const codes = new Set(checkMold(built).map(({ code }) => code));
    codes.delete("draft-low");
    expect([...codes]).toEqual([]);
  });

  it("is filled in under a flare below its rim, and a base that nobody reaches is told at a place on the clay", () => {
    const at = (scale: number, z: number) => bean().scale(scale).at(z);
    const flaring = loft([at(0.5, 0), at(0.55, 15), at(0.95, 22), at(1, 45)]);
    const built = build(mold(shrink(flaring, 0.12), { seams: split.whole() }));
    for (const part of built.model.parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
    const proof = proveMold(built);
    expect(Math.abs(proof.differenceMm3)).toBeLessThan(1e-6 * proof.outerMm3);
    const findings = checkMold(built);
    expect(findings.map(({ code }) => code)).not.toContain("overhang");
    const { at: place, variant } = findings.find(({ code }) => code === "reach-narrow")!;
    expect(variant).toBe("base");
    expect(place!.every(Number.isFinite)).toBe(true);
  });

  it("needs a level open top", () => {
    const lid = solid(modeling.primitives.cuboid({ size: [300, 300, 40], center: [0, 0, 70] }));
    const cut = trim(loft([bean().at(0), bean().at(60)]), lid);
    expect(() => build(mold(shrink(cut, 0.1), { seams: split.whole() }), "idle")).toThrow(/level open top/);
  });
});
