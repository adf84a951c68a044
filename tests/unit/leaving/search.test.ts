import { describe, expect, test } from "vitest";
import { vertexAreas } from "../../../src/dsl/leaving/facets.ts";
import { facingAlong } from "../../../src/dsl/leaving/facing.ts";
import { choosePull } from "../../../src/dsl/leaving/search.ts";
import { FacingArea } from "../../../src/dsl/leaving/facing-area.ts";
import { findUndercut } from "../../../src/dsl/leaving/undercut.ts";
import { level, type Vec3 } from "../../../src/dsl/leaving/vector.ts";
import { normalize, randomFrom, randomUnit } from "./random.ts";
import { facetsOf, ringBody, steps } from "./shapes.ts";

const UP: Vec3 = [0, 0, 1];
const sector = (
  body: ReturnType<typeof ringBody>,
  middle: number,
  half: number,
  turn: (z: number) => number = () => 0,
) =>
  facetsOf(body, ([x, y, z], n) => {
    const angle = Math.atan2(y, x) - ((middle + turn(z)) * Math.PI) / 180;
    return Math.abs(n[2]) < 0.9 && Math.cos(angle) > Math.cos((half * Math.PI) / 180);
  });

test("where there is draft the best pull is taken as it is", () => {
  const body = ringBody(steps(0, 80, 8), 120, (_, z) => 30 + z / 8);
  const part = sector(body, 45, 45);
  const found = choosePull({ clay: part.normals }, { middle: level(45) })!;
  expect(found.from).toBe("exact");
  expect(found.undercutArea).toBe(0);
  expect(found.draftDeg).toBeGreaterThan(40);
});

describe("half a round pot", () => {
  const body = ringBody(steps(0, 80, 8), 120, () => 30);
  test.each([0, 30, 90, 210])(
    "seams square to %i°: no draft, no undercut, pulled through its middle",
    (middle) => {
      const part = facetsOf(
        body,
        ([x, y], n) => Math.abs(n[2]) < 0.9 && x * level(middle)[0] + y * level(middle)[1] > 0.01,
        ([x, y]) => [x, y, 0],
      );
      const clay = Float64Array.from([...part.normals, ...level(middle + 90), ...level(middle - 90)]);
      const found = choosePull({ clay, slides: Float64Array.from(UP) }, { middle: level(middle) })!;
      expect(found.undercutArea).toBe(0);
      expect(found.draftDeg).toBeCloseTo(0, 6);
      for (let k = 0; k < 3; k++) expect(found.direction[k]).toBeCloseTo(level(middle)[k], 6);
    },
  );

  test("a middle that is off is mended", () => {
    const clay = Float64Array.from(Array.from({ length: 181 }, (_, i) => level(i - 90)).flat());
    const found = choosePull({ clay, level: true }, { middle: level(7) })!;
    expect(found.draftDeg).toBeCloseTo(0, 6);
    expect(found.direction[0]).toBeCloseTo(1, 9);
  });
});

describe("no direction without undercut", () => {
  const turn = (z: number) => 40 * (z / 80 - 0.5);
  const body = ringBody(steps(0, 80, 40), 240, (angle) => 40 + 2 * Math.cos(9 * angle), turn);
  const part = sector(body, 0, 90, turn);
  const areas = vertexAreas(part);
  const found = choosePull(
    { clay: part.normals, slides: Float64Array.from(UP) },
    { middle: level(0), clay: { normals: part.normals, areas } },
  )!;

  test("40° of twist in two parts: nothing on a grid of 3° beats it by more than 1 mm²", () => {
    expect(found.undercutArea).toBeGreaterThan(10);
    let best = Infinity;
    for (let tilt = 0; tilt <= 90; tilt += 3)
      for (let around = 0; around < 360; around += 3) {
        const [c, s] = [Math.cos((tilt * Math.PI) / 180), Math.sin((tilt * Math.PI) / 180)];
        const m: Vec3 = [c * level(around)[0], c * level(around)[1], s];
        best = Math.min(best, facingAlong({ normals: part.normals, areas }, m).area);
      }
    expect(found.undercutArea).toBeLessThanOrEqual(best + 1);
  });

  test("the candidates are named, the middle among them, best first", () => {
    const names = new Set(found.candidates.map((candidate) => candidate.from));
    expect(names).toContain("middle");
    expect(names).toContain("square");
    expect(names).toContain("refined");
    for (const candidate of found.candidates)
      expect(candidate.undercutArea).toBeGreaterThanOrEqual(found.undercutArea - 1);
  });

  test("with clay ahead counted, the middle is still asked", () => {
    const asked: Vec3[] = [];
    const counted = choosePull(
      { clay: part.normals, slides: Float64Array.from(UP) },
      {
        middle: level(0),
        facing: new FacingArea(part),
        undercut: (m) => {
          asked.push(m);
          return findUndercut(body, part, m).areaMm2;
        },
      },
    )!;
    expect(asked).toContainEqual(level(0));
    expect(asked.length).toBeLessThanOrEqual(6);
    expect(counted.undercutArea).toBeLessThanOrEqual(findUndercut(body, part, level(0)).areaMm2 + 1);
  });
});

describe("100 random sets without draft", () => {
  test.each(Array.from({ length: 100 }, (_, i) => i + 1))(
    "seed %i: a scan of 4 000 directions is not better",
    (seed) => {
      const random = randomFrom(seed);
      const axis = randomUnit(random);
      const count = 20 + Math.floor(random() * 80);
      const normals = Float64Array.from(
        Array.from({ length: count }, () =>
          normalize(randomUnit(random).map((c, k) => c + (seed % 3) * 0.3 * axis[k])),
        ).flat(),
      );
      // Small pieces, so that "to 1 mm²" is fine against the whole.
      const areas = Float64Array.from({ length: count }, () => 5 + 20 * random());
      const found = choosePull({ clay: normals }, { middle: axis, clay: { normals, areas } })!;
      let best = Infinity;
      for (let k = 0; k < 4000; k++)
        best = Math.min(best, facingAlong({ normals, areas }, randomUnit(random)).area);
      // Scattered normals make a landscape of steps: up to one piece of clay may be missed.
      expect(found.undercutArea).toBeLessThanOrEqual(best + 25);
    },
  );
});

test("plastic all round leaves no pull at all", () => {
  const slides = Float64Array.from(
    [
      [1, 0, 0],
      [-1, 0, 0],
      [0, 1, 0],
      [0, -1, 0],
      [0, 0, 1],
      [0, 0, -1],
    ].flat(),
  );
  expect(choosePull({ clay: Float64Array.from([1, 0, 0]), slides }, { middle: [1, 0, 0] })).toBeNull();
});

test("without clay the middle serves, as far as the plastic lets it", () => {
  const found = choosePull(
    { clay: new Float64Array(), slides: Float64Array.from(UP) },
    { middle: normalize([1, 0, -1]) },
  )!;
  expect(found.from).toBe("middle");
  expect(found.direction[0]).toBeCloseTo(1, 9);
  expect(found.direction[2]).toBeCloseTo(0, 9);
});
