import { describe, expect, test } from "vitest";
import type { Manifold } from "manifold-3d";
import { openingOrder, runsInto, type Leaving } from "../../../src/dsl/leaving/order.ts";
import type { Vec3 } from "../../../src/dsl/leaving/vector.ts";
import { randomFrom, randomUnit } from "./random.ts";
import { kernel, meshOf } from "./shapes.ts";

const { Manifold: Solid } = kernel;

const part = (name: string, solid: Manifold, pull: Leaving["pull"]): Leaving => ({
  name,
  mesh: meshOf(solid),
  pull,
});

const box = (from: Vec3, to: Vec3) => Solid.cube(to.map((t, k) => t - from[k]) as Vec3).translate(from);

const X: Vec3 = [1, 0, 0];
const UP: Vec3 = [0, 0, 1];
const DOWN: Vec3 = [0, 0, -1];

describe("what runs into what", () => {
  const block = part("block", box([0, 0, 0], [10, 10, 10]), X);

  test("a wall ahead, a wall behind, a wall beside", () => {
    expect(runsInto(block, part("ahead", box([20, 0, 0], [30, 10, 10]), X), X)!.areaMm2).toBeCloseTo(100, 6);
    expect(runsInto(block, part("behind", box([-20, 0, 0], [-10, 10, 10]), X), X)).toBeNull();
    expect(runsInto(block, part("beside", box([20, 10, 0], [30, 20, 10]), X), X)).toBeNull();
  });

  test("touching ahead is in the way, touching behind or beside is not", () => {
    expect(runsInto(block, part("ahead", box([10, 0, 0], [20, 10, 10]), X), X)!.areaMm2).toBeCloseTo(100, 6);
    expect(runsInto(block, part("behind", box([-10, 0, 0], [0, 10, 10]), X), X)).toBeNull();
    expect(runsInto(block, part("beside", box([0, 10, 0], [10, 20, 10]), X), X)).toBeNull();
  });

  test("an overlap of 0.05 mm² is let pass, one of 0.06 is not", () => {
    const strip = (width: number) => part("strip", box([20, 0, 10 - width], [30, 1, 30]), X);
    expect(runsInto(block, strip(0.0499), X)).toBeNull();
    expect(runsInto(block, strip(0.06), X)!.areaMm2).toBeCloseTo(0.06, 6);
  });

  test("the place lies on the leaving part, where it would hit", () => {
    expect(runsInto(block, part("ahead", box([20, 0, 0], [30, 10, 10]), X), X)!.at[0]).toBe(10);
  });
});

/** Volume, mm³, in which `a`, moved along m, at most cuts into `b`. */
function cutsInto(a: Manifold, b: Manifold, m: Vec3): number {
  let most = 0;
  for (let way = 0.25; way < 90; way += 0.25 + way / 40) {
    const moved = a.translate(m.map((c) => c * way) as Vec3);
    const common = moved.intersect(b);
    most = Math.max(most, common.volume());
    moved.delete();
    common.delete();
  }
  return most;
}

describe("200 random pairs of solids agree with really moving them", () => {
  let hits = 0;
  let unclear = 0;
  const seeds = Array.from({ length: 200 }, (_, i) => i + 1);
  test.each(seeds)("seed %i", (seed) => {
    const random = randomFrom(seed);
    const hull = (size: number, at: number[]) =>
      Solid.hull(
        Array.from(
          { length: 9 },
          () => randomUnit(random).map((c, k) => at[k] + size * c * (0.5 + random())) as Vec3,
        ),
      );
    const m = randomUnit(random);
    const a = hull(8, [0, 0, 0]);
    const b = hull(
      10,
      m.map((c, k) => c * (random() < 0.8 ? 26 : -26) + [9, 9, 9][k] * (random() * 2 - 1)),
    );
    if (a.intersect(b).volume() > 0) {
      unclear++;
      return;
    }
    const found = runsInto(part("a", a, m), part("b", b, m), m);
    const volume = cutsInto(a, b, m);
    if (found === null) expect(volume).toBeLessThanOrEqual(0.5);
    // Less than 2 mm² across the pull can cut in by less than the way between two looks.
    else if (found.areaMm2 > 2) expect(volume).toBeGreaterThan(0);
    else unclear++;
    if (found !== null) hits++;
  });
  test("they are of both kinds, and few are too close to call", () => {
    expect(hits).toBeGreaterThan(60);
    expect(hits).toBeLessThan(170);
    expect(unclear).toBeLessThan(20);
  });
});

describe("opening order", () => {
  const floor = box([0, 0, 0], [40, 40, 4]);
  const left = box([0, 0, 4], [20, 40, 30]);
  const right = box([20, 0, 4], [40, 40, 30]);

  test("two halves on a floor: all free, in the order given", () => {
    const found = openingOrder([
      part("floor", floor, DOWN),
      part("left", left, [-1, 0, 0]),
      part("right", right, X),
    ]);
    expect(found.moves.map((move) => move.part)).toEqual(["floor", "left", "right"]);
    expect(found.stuck).toEqual([]);
    // A level plane lies between floor and walls as they stand.
    expect(found.moves[0].mm).toBe(0);
  });

  test("a lid on top goes first, whatever the order given", () => {
    const lid = box([0, 0, 30], [40, 40, 34]);
    const found = openingOrder([part("left", left, UP), part("lid", lid, UP), part("right", right, UP)]);
    expect(found.moves.map((move) => move.part)).toEqual(["lid", "left", "right"]);
  });

  test("parts that touch are named, by corners in one place", () => {
    const found = openingOrder([part("left", left, [-1, 0, 0]), part("right", right, X)]);
    expect(found.moves.map((move) => move.against)).toEqual([["right"], []]);
  });

  test("a pull may depend on what is still there", () => {
    const found = openingOrder([
      part("left", left, (others) => (others.includes("right") ? X : [-1, 0, 0])),
      part("right", right, X),
    ]);
    expect(found.moves).toMatchObject([
      { part: "right", direction: [1, 0, 0] },
      { part: "left", direction: [-1, 0, 0] },
    ]);
  });

  test("clay that stays sets how far a part must go", () => {
    const clay = meshOf(box([-50, 0, 0], [30, 10, 10]));
    const found = openingOrder([part("right", right, X)], clay);
    expect(found.moves[0].mm).toBeCloseTo(10, 9);
  });

  test("three wedges in a ring, each against the next: told part by part", () => {
    // Each block's end lies on the next one's side, turned by 120°.
    const bar = box([-30, 10, 0], [12, 20, 10]);
    const ring = [0, 120, 240].map((turn) => bar.rotate([0, 0, turn]));
    const pulls = [0, 120, 240].map((turn): Vec3 => [
      Math.sin((turn * Math.PI) / 180),
      -Math.cos((turn * Math.PI) / 180),
      0,
    ]);
    const found = openingOrder(ring.map((solid, i) => part("abc"[i], solid, pulls[i])));
    expect(found.moves).toEqual([]);
    expect(found.stuck.map((stuck) => stuck.part)).toEqual(["a", "b", "c"]);
    for (const { by } of found.stuck) expect(by.length).toBeGreaterThan(0);
  });

  test("a part without a direction is stuck and blames nobody", () => {
    const found = openingOrder([part("left", left, null), part("right", right, X)]);
    expect(found.moves.map((move) => move.part)).toEqual(["right"]);
    expect(found.stuck).toEqual([{ part: "left", direction: null, by: [] }]);
  });

  test("no parts, no moves", () => expect(openingOrder([])).toEqual({ moves: [], stuck: [] }));
});

describe("a peg in its socket, drawn out at an angle", () => {
  // A cone frustum standing on a plate, axis z, half-taper 15°, and a plate with its socket.
  const peg = Solid.cylinder(4, 4, 4 - 4 * Math.tan((15 * Math.PI) / 180), 48);
  const plate = box([-20, -20, -5], [20, 20, 0]).add(peg.translate([0, 0, -0.001]));
  const other = box([-20, -20, 0], [20, 20, 8]).subtract(
    Solid.cylinder(4.2, 4.2, 4.2 - 4.2 * Math.tan((15 * Math.PI) / 180), 48).translate([0, 0, -0.001]),
  );
  test.each([
    [0, true],
    [14, true],
    // 4 mm up the peg it drifts 4·(tan 16° − tan 15°) = 0.08 mm sideways, within the 0.2 of clearance …
    [16, true],
    // … and here 4·(tan 20° − tan 15°) = 0.38 mm.
    [20, false],
    [30, false],
  ])("%i° from its axis: leaves %s (taper 15°, clearance 0.2)", (angle, leaves) => {
    const m: Vec3 = [Math.sin((angle * Math.PI) / 180), 0, Math.cos((angle * Math.PI) / 180)];
    const found = runsInto(part("socket", other, m), part("plate", plate, m), m);
    expect(found === null).toBe(leaves);
  });
});
