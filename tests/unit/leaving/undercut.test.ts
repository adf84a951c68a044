import { describe, expect, test } from "vitest";
import { findUndercut } from "../../../src/dsl/leaving/undercut.ts";
import type { Vec3 } from "../../../src/dsl/leaving/vector.ts";
import { extrusion, facetsOf, ringBody, steps } from "./shapes.ts";

/** Within `percent` of the value that the shape's formula gives. */
function expectWithin(value: number, exact: number, percent: number): void {
  expect(Math.abs(value - exact)).toBeLessThanOrEqual((exact * percent) / 100);
}

const X: Vec3 = [1, 0, 0];
const UP: Vec3 = [0, 0, 1];

describe("groove across the pull", () => {
  // A bar 60 × 40 with a groove 12 wide and 3 deep in its upper side, 50 long along y.
  const bar = extrusion(
    [
      [0, 0],
      [60, 0],
      [60, 40],
      [36, 40],
      [36, 37],
      [24, 37],
      [24, 40],
      [0, 40],
    ],
    50,
  );
  const upper = facetsOf(bar, ([x, , z]) => z > 36 && x > 0.01 && x < 59.99);

  test("the floor and both sides of the groove hold: (3 + 12 + 3) × 50 mm², 3 mm deep", () => {
    const found = findUndercut(
      bar,
      facetsOf(bar, ([, , z], n) => z > 36 && n[1] === 0),
      X,
    );
    // The side at x 36 faces back; the floor and the side at x 24 lie in its shadow.
    expect(found.patches.length).toBe(1);
    expectWithin(found.areaMm2, 18 * 50, 1);
    expectWithin(found.depthMm, 3, 1);
    expect(found.patches[0].at[2]).toBeCloseTo(37, 2);
  });

  test("straight up it comes off", () => {
    const found = findUndercut(bar, upper, UP);
    expect(found).toEqual({ areaMm2: 0, depthMm: 0, patches: [] });
  });

  test("two grooves are two patches, deepest first", () => {
    const twice = extrusion(
      [
        [0, 0],
        [60, 0],
        [60, 40],
        [50, 40],
        [50, 38],
        [40, 38],
        [40, 40],
        [30, 40],
        [30, 35],
        [20, 35],
        [20, 40],
        [0, 40],
      ],
      50,
    );
    const found = findUndercut(
      twice,
      facetsOf(twice, ([, , z], n) => z > 34 && n[1] === 0),
      X,
    );
    expect(found.patches.map((patch) => Math.round(patch.depthMm * 100) / 100)).toEqual([5, 2]);
    expectWithin(found.patches[0].areaMm2, 20 * 50, 1);
    expectWithin(found.patches[1].areaMm2, 14 * 50, 1);
  });
});

test("a sphere of radius 30 in a block split 10 off its centre: 1885.0 mm², 1.716 mm", () => {
  const zs = [
    ...steps(-90, -Math.asin(1 / 3) * (180 / Math.PI), 60),
    ...steps(-Math.asin(1 / 3) * (180 / Math.PI), 0, 20).slice(1),
    ...steps(0, 90, 90).slice(1),
  ]
    .slice(1, -1)
    .map((latitude) => 30 * Math.sin((latitude * Math.PI) / 180));
  const sphere = ringBody(zs, 360, (_, z) => Math.sqrt(900 - z * z));
  const half = facetsOf(
    sphere,
    ([, , z], n) => z > -10 && Math.abs(n[2]) < 0.9999,
    (p) => p,
  );
  const found = findUndercut(sphere, half, UP);
  expectWithin(found.areaMm2, 2 * Math.PI * 30 * 10, 1);
  expectWithin(found.depthMm, 30 - Math.sqrt(800), 1);
  expect(found.patches.length).toBe(1);
  expect(found.patches[0].at[2]).toBeCloseTo(-10, 2);
});

test("a waist, 30 to 20 and out to 30 again, in one piece pulled up: both cones hold, 10 mm deep", () => {
  const body = ringBody(steps(0, 80, 40), 240, (_, z) => 20 + Math.abs(z - 40) / 4);
  const side = facetsOf(body, (_, n) => Math.abs(n[2]) < 0.9);
  const found = findUndercut(body, side, UP);
  expectWithin(found.areaMm2, 2 * Math.PI * 50 * Math.hypot(40, 10), 1);
  expectWithin(found.depthMm, 10, 1);
  expect(found.patches[0].at[2]).toBeCloseTo(40, 6);
});

describe("two parts of a twisted cylinder, radius 40: R(1 − cos(T/2)) deep", () => {
  test.each([10, 20, 40, 60])("twist %i°", (twist) => {
    const turn = (z: number) => twist * (z / 100 - 0.5);
    const body = ringBody(steps(0, 100, 50), 720, () => 40, turn);
    const part = facetsOf(
      body,
      ([x, y, z], n) => {
        const local = Math.atan2(y, x) - (turn(z) * Math.PI) / 180;
        return Math.abs(n[2]) < 0.9 && Math.cos(local) > 0;
      },
      ([x, y]) => [x, y, 0],
    );
    const found = findUndercut(body, part, X);
    expectWithin(found.depthMm, 40 * (1 - Math.cos((twist * Math.PI) / 360)), 1);
    // At one end of each seam the part reaches round by T/2: a triangle, less its strip under 0.1°.
    const reach = (40 * twist * Math.PI) / 360;
    expectWithin(found.areaMm2, reach * 50 * (1 - 0.2 / twist) ** 2, 1);
    expect(found.patches.length).toBe(2);
  });
});

describe("sound parts have no undercut at all", () => {
  test("a third of a round cone, pulled level through its middle", () => {
    const body = ringBody(steps(0, 90, 30), 180, (_, z) => 30 + z / 9);
    const part = facetsOf(
      body,
      ([x, y], n) =>
        Math.abs(n[2]) < 0.9 && Math.atan2(y, x) > -Math.PI / 3 && Math.atan2(y, x) < Math.PI / 3,
      ([x, y]) => [x, y, -Math.hypot(x, y) / 9],
    );
    expect(findUndercut(body, part, X)).toEqual({ areaMm2: 0, depthMm: 0, patches: [] });
  });

  test("half a cylinder: no draft at its seams and still free", () => {
    const body = ringBody(steps(0, 90, 30), 180, () => 30);
    const part = facetsOf(
      body,
      ([x], n) => Math.abs(n[2]) < 0.9 && x > 0,
      ([x, y]) => [x, y, 0],
    );
    expect(findUndercut(body, part, X).areaMm2).toBe(0);
  });

  test("no clay, no undercut", () => {
    const body = ringBody([0, 10], 12, () => 30);
    expect(
      findUndercut(
        body,
        facetsOf(body, () => false),
        X,
      ),
    ).toEqual({ areaMm2: 0, depthMm: 0, patches: [] });
  });
});

describe("a wave with 12 crests in three parts", () => {
  const wave = (angle: number) => 40 - 4 * Math.cos(12 * angle);
  const body = ringBody(steps(0, 60, 8), 360, wave);
  const third = (mesh = body) =>
    facetsOf(
      mesh,
      ([x, y], n) =>
        Math.abs(n[2]) < 0.9 && Math.atan2(y, x) > -Math.PI / 3 && Math.atan2(y, x) < Math.PI / 3,
    );

  test("turning and moving the whole changes nothing but the direction", () => {
    const base = findUndercut(body, third(), X);
    expect(base.areaMm2).toBeGreaterThan(100);
    for (const degrees of [90, 180, 270, 33]) {
      const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
      const turned = (values: Float64Array, by: number) =>
        values.map((_, i) => {
          const [x, y] = [values[i - (i % 3)], values[i - (i % 3) + 1]];
          return i % 3 === 0 ? c * x - s * y + by : i % 3 === 1 ? s * x + c * y + by : values[i] + by;
        });
      const facets = third();
      const found = findUndercut(
        { positions: turned(body.positions, 11), triangles: body.triangles },
        { ...facets, positions: turned(facets.positions, 11), normals: turned(facets.normals, 0) },
        [c, s, 0],
      );
      expectWithin(found.areaMm2, base.areaMm2, 0.5);
      expect(found.depthMm).toBeCloseTo(base.depthMm, 2);
    }
  });

  test("twice the size has four times the area and twice the depth", () => {
    const base = findUndercut(body, third(), X);
    const large = { positions: body.positions.map((p) => 2 * p), triangles: body.triangles };
    const found = findUndercut(large, third(large), X);
    expectWithin(found.areaMm2, 4 * base.areaMm2, 1);
    expectWithin(found.depthMm, 2 * base.depthMm, 1);
  });
});
