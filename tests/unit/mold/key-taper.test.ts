import { beforeAll, describe, expect, it } from "vitest";
import { key, mold, shrink, split } from "../../../src/dsl/index.ts";
import { cone, dome } from "../../../src/dsl/mold/key-shape.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { build, cylinder } from "./samples.ts";

beforeAll(loadKernel);

const radians = (degrees: number) => (degrees * Math.PI) / 180;

/**
 * A spherical cap of rim half-angle ω slides off along a pull θ from its axis where ω ≤ 90° − θ
 * (derived). Its height is R(1 − cos ω) on the sphere and r·tan(ω/2) on the rim (standard geometry).
 */
describe("a dome never locks", () => {
  for (const [theta, onSphere, onRim] of [
    [10, 0.8264, 0.8391],
    [30, 0.5, 0.5774],
    [45, 0.2929, 0.4142],
  ] as const) {
    it(`θ ${theta}°: at most ${onSphere} of the sphere's radius and ${onRim} of the rim's`, () => {
      const limit = radians(90 - theta);
      expect(1 - Math.cos(limit)).toBeCloseTo(onSphere, 4);
      expect(Math.tan(limit / 2)).toBeCloseTo(onRim, 4);
      const made = dome(1, theta, 0, 10)!;
      // 5° are kept, and no more than 45° of overhang (common practice, no source).
      const omega = Math.min(45, 85 - theta);
      expect(made.height).toBeCloseTo(Math.tan(radians(omega) / 2), 9);
      expect(made.height).toBeLessThan(onRim);
      expect(made.taper).toBeGreaterThanOrEqual(theta + 5 - 1e-9);
    });
  }

  it("size 8: 1.66 mm high in two or three parts, 1.46 mm in four (derived)", () => {
    for (const [theta, height] of [
      [0, 1.66],
      [30, 1.66],
      [45, 1.46],
    ] as const)
      expect(dome(4, theta, 0.2, 10)!.height).toBeCloseTo(height, 2);
  });
});

/** A key with half-taper α at θ to the pull has a worst draft of α − θ (derived); 3° are wanted. */
describe("a cone leans 3° more than the pull asks", () => {
  for (const theta of [0, 20, 45, 60])
    it(`θ ${theta}°`, () => {
      const made = cone(4, theta, 0.2, 2.3)!;
      expect(made.taper - theta).toBeGreaterThanOrEqual(3);
      const [, foot, top] = made.peg(0.5);
      expect((Math.atan2(foot.r - top.r, top.h - foot.h) * 180) / Math.PI).toBeCloseTo(made.taper, 9);
    });
});

/** A peg square to a radial seam of k equal parts stands 90° − 180°/k from a radial, level pull (derived). */
describe("pegs of a round pot in k parts", () => {
  for (const [parts, theta] of [
    [2, 0],
    [3, 30],
    [4, 45],
    [6, 60],
  ] as const) {
    it(`${parts} parts: θ ${theta}°, and the flanks' draft is their taper less θ`, () => {
      const built = build(
        mold(shrink(cylinder(), 0.12), {
          keys: key({ shape: "cone", size: 10 }),
          seams: split({ parts, at: 10, pull: "level" }),
        }),
        "typing",
      );
      for (const seam of built.keys) {
        expect(seam.theta).toBeCloseTo(theta, 3);
        for (const one of seam.keys) expect(one.draftDeg).toBeCloseTo(Math.max(10, theta + 3) - theta, 3);
      }
    });
  }
});
