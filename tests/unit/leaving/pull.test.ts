import { describe, expect, test } from "vitest";
import { bestPull, type PullOptimum, type PullProblem } from "../../../src/dsl/leaving/pull.ts";
import { asinDeg, dot, sinDeg, type Vec3 } from "../../../src/dsl/leaving/vector.ts";
import { normalize, randomFrom, randomUnit } from "./random.ts";

const flat = (normals: readonly (readonly number[])[]) => Float64Array.from(normals.flat());

const normalAt = (normals: Float64Array, i: number): Vec3 => [
  normals[3 * i],
  normals[3 * i + 1],
  normals[3 * i + 2],
];

/** Checks the certificate from nothing but the problem, the direction and the multipliers. */
function prove(problem: PullProblem, found: PullOptimum): void {
  const sum = [0, 0, 0];
  let clay = 0;
  let margin = 0;
  for (const { kind, index, weight } of found.witnesses) {
    expect(weight).toBeGreaterThan(0);
    const n =
      kind === "level"
        ? ([0, 0, index === 0 ? 1 : -1] as Vec3)
        : normalAt(
            kind === "clay" ? problem.clay : kind === "slide" ? problem.slides! : problem.flanks!,
            index,
          );
    if (kind === "clay") clay += weight;
    if (kind === "flank") margin += weight * sinDeg(problem.flankDraft ?? 3);
    for (let axis = 0; axis < 3; axis++) sum[axis] += weight * n[axis];
  }
  expect(Math.abs(clay - 1)).toBeLessThanOrEqual(1e-12);
  if (found.direction === null && found.certificate.slack < 0) {
    expect(problem.flanks).toBeDefined();
    return;
  }
  if (found.direction === null) {
    expect(Math.hypot(...sum)).toBeLessThanOrEqual(margin + 2e-9);
    return;
  }
  const m = found.direction;
  expect(Math.abs(Math.hypot(...m) - 1)).toBeLessThanOrEqual(1e-12);
  expect(Math.hypot(...sum.map((s, axis) => s - (found.t + margin) * m[axis]))).toBeLessThanOrEqual(1e-9);
  expect(leastAlong(problem.clay, m)).toBeGreaterThanOrEqual(found.t - 1e-9);
  expect(leastAlong(problem.slides ?? new Float64Array(), m)).toBeGreaterThanOrEqual(-1e-9);
  if (problem.flanks)
    expect(leastAlong(problem.flanks, m)).toBeGreaterThanOrEqual(sinDeg(problem.flankDraft ?? 3) - 1e-9);
  if (problem.level) expect(Math.abs(m[2])).toBeLessThanOrEqual(1e-12);
}

function leastAlong(normals: Float64Array, m: Vec3): number {
  let least = Infinity;
  for (let i = 0; i < normals.length / 3; i++) least = Math.min(least, dot(normalAt(normals, i), m));
  return least;
}

/**
 * The largest least draft found without any theory of supports: a 2° grid over the sphere, five
 * zooms about its best point, and then, because ridges are narrower than any grid, ternary search
 * in two nested directions, which is right where the draft is above 0 (the quotient of a concave
 * and a convex function has no second hill).
 */
function bruteForce(clay: Float64Array): number {
  let best: Vec3 = [0, 0, 1];
  let value = -Infinity;
  const tryOut = (m: Vec3) => {
    const least = leastAlong(clay, m);
    if (least > value) [value, best] = [least, m];
    return least;
  };
  for (let i = 0; i <= 90; i++)
    for (let j = 0; j < 180; j++) {
      const [a, b] = [(i * Math.PI) / 90, (j * Math.PI) / 90];
      tryOut([Math.sin(a) * Math.cos(b), Math.sin(a) * Math.sin(b), Math.cos(a)]);
    }
  const chart = () => {
    const centre = best;
    const u = normalize(Math.abs(centre[0]) < 0.7 ? [0, -centre[2], centre[1]] : [-centre[1], centre[0], 0]);
    const v = [
      centre[1] * u[2] - centre[2] * u[1],
      centre[2] * u[0] - centre[0] * u[2],
      centre[0] * u[1] - centre[1] * u[0],
    ];
    return (a: number, b: number) => tryOut(normalize(centre.map((c, k) => c + a * u[k] + b * v[k])));
  };
  for (let zoom = 0, size = 0.06; zoom < 5; zoom++, size /= 4) {
    const at = chart();
    for (let i = -8; i <= 8; i++) for (let j = -8; j <= 8; j++) at((i * size) / 8, (j * size) / 8);
  }
  const at = chart();
  ternary((a) => ternary((b) => at(a, b)));
  return value;
}

/** The greatest value of a function with one hill on [−0.4, 0.4]. */
function ternary(height: (x: number) => number): number {
  let [low, high, value] = [-0.4, 0.4, -Infinity];
  for (let step = 0; step < 30; step++) {
    const [a, b] = [low + (high - low) / 3, high - (high - low) / 3];
    const [atA, atB] = [height(a), height(b)];
    value = Math.max(value, atA, atB);
    if (atA < atB) low = a;
    else high = b;
  }
  return value;
}

/** Families of sets: scattered, a cap, a band, lattice directions (many ties), pairs that nearly coincide. */
const FAMILIES = ["scattered", "cap", "band", "lattice", "near twins"] as const;

function randomSet(seed: number): { clay: Float64Array; family: string } {
  const random = randomFrom(seed);
  const family = FAMILIES[seed % FAMILIES.length];
  const count = 3 + Math.floor(random() * 60);
  const axis = randomUnit(random);
  const width = 0.2 + random() * 1.2;
  const rows: number[][] = [];
  for (let i = 0; i < count; i++) {
    const free = randomUnit(random);
    if (family === "scattered") rows.push(normalize(free.map((f, k) => f + 0.9 * axis[k])));
    else if (family === "cap") rows.push(normalize(free.map((f, k) => width * f + 1.6 * axis[k])));
    else if (family === "band") {
      const angle = (random() - 0.5) * 2.6;
      rows.push(normalize([Math.cos(angle), Math.sin(angle), 0.15 * (random() - 0.3)]));
    } else if (family === "lattice")
      rows.push(
        normalize([1 + Math.floor(random() * 2), Math.floor(random() * 3) - 1, Math.floor(random() * 3) - 1]),
      );
    else {
      const n = normalize(free.map((f, k) => f + 1.2 * axis[k]));
      rows.push(n, normalize(n.map((c) => c + 1e-9 * (random() - 0.5))));
    }
  }
  return { clay: flat(rows), family };
}

describe("500 random sets", () => {
  let withDraft = 0;
  const seeds = Array.from({ length: 500 }, (_, i) => i + 1);
  test.each(seeds)("seed %i: certificate holds, brute force is not better and agrees to 0.01°", (seed) => {
    const { clay } = randomSet(seed);
    const found = bestPull({ clay });
    prove({ clay }, found);
    const brute = bruteForce(clay);
    expect(brute).toBeLessThanOrEqual(found.t + 1e-9);
    if (found.direction !== null) {
      withDraft++;
      expect(found.witnesses.length).toBeLessThanOrEqual(3);
      expect(asinDeg(found.t) - asinDeg(brute)).toBeLessThanOrEqual(0.01);
    }
  });
  test("most of them have draft, many have none", () => {
    expect(withDraft).toBeGreaterThan(250);
    expect(withDraft).toBeLessThan(480);
  });
});

describe("300 random sets with slides, flanks or a level pull", () => {
  let withDraft = 0;
  test.each(Array.from({ length: 300 }, (_, i) => i + 1001))("seed %i: certificate holds", (seed) => {
    const { clay } = randomSet(seed);
    const random = randomFrom(seed ^ 0x5f5f);
    const middle = normalize([0, 1, 2].map((k) => clay[k] + clay[3 + k] + clay[6 + k] + 0.01));
    const around = (width: number) => normalize(randomUnit(random).map((f, k) => width * f + middle[k]));
    const problem: PullProblem = { clay, level: seed % 4 === 0, flankDraft: 1 + 4 * random() };
    if (seed % 2 === 0) problem.slides = flat(Array.from({ length: 1 + (seed % 5) }, () => around(1.6)));
    if (seed % 3 === 0) problem.flanks = flat(Array.from({ length: 1 + (seed % 7) }, () => around(0.8)));
    const found = bestPull(problem);
    prove(problem, found);
    if (found.direction !== null) withDraft++;
    for (let i = 0; i < 2000; i++) {
      const m = problem.level ? normalize([random() - 0.5, random() - 0.5, 0]) : randomUnit(random);
      if (problem.slides && leastAlong(problem.slides, m) < 0) continue;
      if (problem.flanks && leastAlong(problem.flanks, m) < sinDeg(problem.flankDraft!)) continue;
      expect(leastAlong(clay, m)).toBeLessThanOrEqual(found.t + 1e-9);
    }
  });
  test("many of them have draft", () => expect(withDraft).toBeGreaterThan(80));
});

describe("degenerate sets", () => {
  test("no clay: nothing to leave, no direction of its own", () => {
    expect(bestPull({ clay: new Float64Array() })).toMatchObject({
      t: Infinity,
      direction: null,
      witnesses: [],
    });
  });

  test("one facet leaves along its normal", () => {
    const found = bestPull({ clay: flat([[0, 0.6, 0.8]]) });
    expect(found.t).toBeCloseTo(1, 15);
    expect(found.direction).toEqual([0, 0.6, 0.8]);
    expect(found.witnesses).toEqual([{ kind: "clay", index: 0, weight: 1 }]);
  });

  test("all equal", () => {
    const clay = flat(Array.from({ length: 1000 }, () => normalize([1, 2, 3])));
    const found = bestPull({ clay });
    prove({ clay }, found);
    expect(found.t).toBeCloseTo(1, 12);
  });

  test("n and −n: no draft, and the two say so", () => {
    const clay = flat([normalize([1, 2, 3]), normalize([-1, -2, -3])]);
    const found = bestPull({ clay });
    prove({ clay }, found);
    expect(found).toMatchObject({ t: 0, direction: null });
    expect(found.witnesses.length).toBe(2);
    for (const { weight } of found.witnesses) expect(weight).toBeCloseTo(0.5, 12);
  });

  test("all in one plane on one side", () => {
    const clay = flat(
      [-70, -20, 0, 35, 60].map((a) => [Math.cos((a * Math.PI) / 180), Math.sin((a * Math.PI) / 180), 0]),
    );
    const found = bestPull({ clay });
    prove({ clay }, found);
    expect(asinDeg(found.t)).toBeCloseTo(90 - 65, 10);
    expect(Math.atan2(found.direction![1], found.direction![0])).toBeCloseTo((-5 * Math.PI) / 180, 10);
  });

  test("all in one plane all round", () => {
    const clay = flat(
      [0, 120, 240].map((a) => [Math.cos((a * Math.PI) / 180), Math.sin((a * Math.PI) / 180), 0]),
    );
    const found = bestPull({ clay });
    prove({ clay }, found);
    expect(found.direction).toBeNull();
  });

  test("a cube's six faces hold every direction", () => {
    const clay = flat([
      [1, 0, 0],
      [-1, 0, 0],
      [0, 1, 0],
      [0, -1, 0],
      [0, 0, 1],
      [0, 0, -1],
    ]);
    const found = bestPull({ clay });
    prove({ clay }, found);
    expect(found.direction).toBeNull();
  });

  test("four normals about the origin hold every direction, all four as witnesses", () => {
    const clay = flat(
      [
        [1, 1, 1],
        [1, -1, -1],
        [-1, 1, -1],
        [-1, -1, 1],
      ].map(normalize),
    );
    const found = bestPull({ clay });
    prove({ clay }, found);
    expect(found.direction).toBeNull();
    expect(found.witnesses.length).toBe(4);
  });

  test("a normal that is not a unit vector is refused", () => {
    expect(() =>
      bestPull({
        clay: flat([
          [1, 0, 0],
          [0, 0, 0],
        ]),
      }),
    ).toThrow(/normal 1 has length 0/);
    expect(() => bestPull({ clay: flat([[NaN, 0, 0]]) })).toThrow(RangeError);
    expect(() => bestPull({ clay: flat([[1, 0, 0]]), slides: flat([[0, 2, 0]]) })).toThrow(/length 2/);
  });
});

describe("plastic in the way is a slide, not an aim", () => {
  test("a floor does not tilt a level pull of 30°", () => {
    const clay = flat(
      [-60, 60].map((a) => [Math.cos((a * Math.PI) / 180), Math.sin((a * Math.PI) / 180), 0]),
    );
    const slides = flat([[0, 0, 1]]);
    expect(asinDeg(bestPull({ clay, slides }).t)).toBeCloseTo(30, 10);
    const aimed = bestPull({ clay: Float64Array.from([...clay, ...slides]) });
    expect(asinDeg(aimed.t)).toBeCloseTo(26.565, 3);
  });

  test("between floor and ring the pull is level and keeps its draft", () => {
    const clay = flat(
      [-60, 60].map((a) => [Math.cos((a * Math.PI) / 180), Math.sin((a * Math.PI) / 180), 0]),
    );
    const found = bestPull({
      clay,
      slides: flat([
        [0, 0, 1],
        [0, 0, -1],
      ]),
    });
    expect(asinDeg(found.t)).toBeCloseTo(30, 10);
    expect(found.direction![2]).toBe(0);
  });

  test("a standing pot is not pulled through the table", () => {
    const clay = flat([[0.8, 0, -0.6]]);
    const found = bestPull({ clay, slides: flat([[0, 0, 1]]) });
    expect(found.direction).toEqual([1, 0, 0]);
    expect(found.t).toBeCloseTo(0.8, 12);
    expect(found.witnesses.map((w) => w.kind).sort()).toEqual(["clay", "slide"]);
  });

  test("a flank tilts the pull until it has its 3°, and no further", () => {
    const clay = flat([[1, 0, 0]]);
    const found = bestPull({ clay, flanks: flat([[0, 1, 0]]) });
    prove({ clay, flanks: flat([[0, 1, 0]]) }, found);
    expect(asinDeg(found.direction![1])).toBeCloseTo(3, 10);
    expect(asinDeg(found.t)).toBeCloseTo(87, 10);
  });

  test("flanks against each other leave no direction", () => {
    expect(
      bestPull({
        clay: flat([[1, 0, 0]]),
        flanks: flat([
          [0, 1, 0],
          [0, -1, 0],
        ]),
      }).direction,
    ).toBeNull();
  });
});

describe("drafts with a closed form (derived)", () => {
  /** Normals of an upright wall between two polar angles, every degree and both ends. */
  const arc = (from: number, to: number) =>
    Array.from({ length: 181 }, (_, i) => from + ((to - from) * i) / 180).map((a) => [
      Math.cos((a * Math.PI) / 180),
      Math.sin((a * Math.PI) / 180),
      0,
    ]);

  test.each([
    [2, 0],
    [3, 30],
    [4, 45],
    [5, 54],
    [6, 60],
  ])("round body in %i equal parts: 90 − 180/k = %f°", (parts, draft) => {
    for (let part = 0; part < parts; part++) {
      const clay = flat(arc((360 * part) / parts, (360 * (part + 1)) / parts));
      expect(asinDeg(bestPull({ clay }).t)).toBeCloseTo(draft, 9);
    }
  });

  test.each([
    [4, 2, 45],
    [6, 2, 30],
    [6, 3, 60],
    [8, 2, 22.5],
    [8, 4, 67.5],
  ])("%i-gon prism in %i parts, seams on corners: 90 − (n/k − 1)·180/n = %f°", (sides, parts, draft) => {
    const per = sides / parts;
    const clay = flat(
      Array.from({ length: per }, (_, i) => ((i + 0.5) * 360) / sides).map((a) => [
        Math.cos((a * Math.PI) / 180),
        Math.sin((a * Math.PI) / 180),
        0,
      ]),
    );
    const found = bestPull({ clay });
    expect(asinDeg(found.t)).toBeCloseTo(draft, 9);
    expect(90 - (per - 1) * (180 / sides)).toBeCloseTo(draft, 12);
  });

  test("hexagon in two parts with the seam mid-face: 0°", () => {
    const clay = flat(
      [0, 60, 120, 180].map((a) => [Math.cos((a * Math.PI) / 180), Math.sin((a * Math.PI) / 180), 0]),
    );
    expect(bestPull({ clay })).toMatchObject({ t: 0, direction: null });
  });

  test.each([
    [5, 60, 0, 29.8742],
    [-10, 45, 0, 44.136],
    [8, 90, 0, 0],
    [8, 90, 10, 1.3848],
  ])(
    "wall elevation %i°, azimuth %i° from the pull, pull tilted up %i°: %f°",
    (elevation, azimuth, tilt, draft) => {
      const [b, f, t] = [elevation, azimuth, tilt].map((a) => (a * Math.PI) / 180);
      const n: Vec3 = [Math.cos(b) * Math.cos(f), Math.cos(b) * Math.sin(f), Math.sin(b)];
      const m: Vec3 = [Math.cos(t), 0, Math.sin(t)];
      expect(asinDeg(dot(n, m))).toBeCloseTo(draft, 4);
      expect(Math.cos(b) * Math.cos(f) * Math.cos(t) + Math.sin(b) * Math.sin(t)).toBeCloseTo(dot(n, m), 12);
    },
  );

  test("a cone's part tilts up or down with its wall: seams at ±60°, wall leaning out 8°", () => {
    const b = (8 * Math.PI) / 180;
    const clay = flat(arc(-60, 60).map(([x, y]) => [Math.cos(b) * x, Math.cos(b) * y, -Math.sin(b)]));
    const found = bestPull({ clay });
    // The hull's nearest point lies between the two seam normals: (cos b·cos 60, 0, −sin b).
    expect(found.t).toBeCloseTo(Math.hypot(Math.cos(b) / 2, Math.sin(b)), 12);
  });
});
