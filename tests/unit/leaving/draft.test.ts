import { describe, expect, test } from "vitest";
import { leastDraft, lowDraft } from "../../../src/dsl/leaving/draft.ts";
import type { Vec3 } from "../../../src/dsl/leaving/vector.ts";
import { facetsOf, ringBody, steps } from "./shapes.ts";

const X: Vec3 = [1, 0, 0];
const UP: Vec3 = [0, 0, 1];

describe("least draft", () => {
  test("a cone of half-angle 5° pulled along its axis has 5°", () => {
    const slope = Math.tan((5 * Math.PI) / 180);
    const body = ringBody(steps(0, 60, 6), 90, (_, z) => 40 - z * slope);
    const side = facetsOf(
      body,
      (_, n) => Math.abs(n[2]) < 0.9,
      ([x, y]) => [x, y, Math.hypot(x, y) * slope],
    );
    expect(leastDraft(side.normals, UP)).toBeCloseTo(5, 9);
    expect(leastDraft(side.normals, [0, 0, -1])).toBeCloseTo(-5, 9);
  });

  test("without clay it is 90°", () => expect(leastDraft(new Float64Array(), UP)).toBe(90));
});

describe("patches under the limit", () => {
  test.each([32, 72, 100, 360])(
    "a round pot in two parts, %i columns: 0° at its seams and no patch",
    (columns) => {
      const body = ringBody(steps(0, 90, 9), columns, () => 40);
      const half = facetsOf(
        body,
        ([x], n) => Math.abs(n[2]) < 0.9 && x > 0,
        ([x, y]) => [x, y, 0],
      );
      expect(leastDraft(half.normals, X)).toBeCloseTo(0, 9);
      expect(lowDraft(half, X, 2)).toEqual([]);
      // The strips are there, R·sin 2° long along the pull, one at each seam.
      const strips = lowDraft(half, X, 2, 0);
      expect(strips.length).toBe(2);
      for (const strip of strips) {
        expect(strip.lengthMm).toBeCloseTo(40 * Math.sin((2 * Math.PI) / 180), 1);
        expect(strip.areaMm2).toBeCloseTo(((40 * 2 * Math.PI) / 180) * 90, -1);
      }
    },
  );

  test("a straight wall 90 long along the pull at 1° is one patch, with its length, area and least draft", () => {
    const slope = Math.tan(Math.PI / 180);
    const body = ringBody(steps(0, 90, 9), 72, (_, z) => 40 - z * slope);
    const side = facetsOf(
      body,
      (_, n) => Math.abs(n[2]) < 0.9,
      ([x, y]) => [x, y, Math.hypot(x, y) * slope],
    );
    const [patch, ...others] = lowDraft(side, UP, 2);
    expect(others).toEqual([]);
    expect(patch.draftDeg).toBeCloseTo(1, 9);
    expect(patch.lengthMm).toBeCloseTo(90, 9);
    expect(patch.facets.length).toBe(side.triangles.length / 3);
    expect(lowDraft(side, UP, 0.99)).toEqual([]);
  });

  test("two shallow bands apart are two patches, steepest first; a band of 5 mm is none", () => {
    // 10° all the way, but for 1.5° from 10 to 20, 0.5° from 40 to 55 and 1° from 70 to 75.
    const draft = (z: number) =>
      z > 10 && z < 20 ? 1.5 : z > 40 && z < 55 ? 0.5 : z > 70 && z < 75 ? 1 : 10;
    const zs = steps(0, 90, 90);
    const radii = zs.reduce<number[]>(
      (all, z, i) => (i === 0 ? [40] : [...all, all[i - 1] - Math.tan((draft(z - 0.5) * Math.PI) / 180)]),
      [],
    );
    const body = ringBody(zs, 48, (_, z) => radii[Math.round(z)]);
    const side = facetsOf(body, (_, n) => Math.abs(n[2]) < 0.9);
    const found = lowDraft(side, UP, 2);
    expect(found.map((patch) => Math.round(patch.lengthMm))).toEqual([15, 10]);
    expect(found[0].at[2]).toBeGreaterThanOrEqual(40);
    expect(found[0].at[2]).toBeLessThanOrEqual(55);
    expect(lowDraft(side, UP, 2, 4).length).toBe(3);
  });
});
