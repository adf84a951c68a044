import { expect, test } from "vitest";
import { layOnBed } from "../../../src/dsl/output/bed.ts";
import { boundsOf, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { SNAP } from "../../../src/dsl/tolerances.ts";
import { box, octagon, ON_ITS_FACE, part, UPRIGHT } from "./fixture.ts";

/** All 24 turns by quarters, as matrices for columns. */
const quarterTurns = (() => {
  const axes = [
    [1, 0, 0],
    [-1, 0, 0],
    [0, 1, 0],
    [0, -1, 0],
    [0, 0, 1],
    [0, 0, -1],
  ];
  return axes.flatMap((x) =>
    axes
      .filter((y) => x.every((value, i) => Math.abs(value) + Math.abs(y[i]) < 2))
      .map((y) => {
        const z = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
        return [...x, 0, ...y, 0, ...z, 0, 0, 0, 0, 1];
      }),
  );
})();

const apply = (m: number[], p: ArrayLike<number>) =>
  [0, 1, 2].map((row) => m[row] * p[0] + m[4 + row] * p[1] + m[8 + row] * p[2] + m[12 + row]);

const aboutX = (degrees: number) => {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return [1, 0, 0, 0, 0, c, s, 0, 0, -s, c, 0, 0, 0, 0, 1];
};

test("there are 24 quarter turns", () => expect(quarterTurns.length).toBe(24));

test.each(quarterTurns.map((turn) => [turn]))(
  "after the turn %j the part stands at the origin and toMold leads back exactly",
  (turn) => {
    const mesh = box(10 + SNAP, 20, 30, [-7 + 3 * SNAP, 40, -90]);
    const laid = layOnBed(part("box", "wall", mesh, turn));
    expect(boundsOf(laid.mesh).min).toEqual([0, 0, 0]);
    expect(boundsOf(laid.mesh).max).toEqual(laid.size);
    expect(volumeOf(laid.mesh)).toBeCloseTo(volumeOf(mesh), 9);
    for (let i = 0; i < mesh.positions.length; i += 3) {
      expect(laid.mesh.positions.slice(i, i + 3).every((value) => Number.isInteger(value / SNAP))).toBe(true);
      expect(apply(laid.toMold, laid.mesh.positions.slice(i, i + 3))).toEqual([
        ...mesh.positions.slice(i, i + 3),
      ]);
    }
  },
);

test("laid on its face, what was up looks to the front", () => {
  const laid = layOnBed(part("box", "wall", box(10, 20, 30), ON_ITS_FACE));
  expect(laid.size).toEqual([10, 30, 20]);
});

test("a turn that is a quarter but for rounding is taken as one", () => {
  expect(layOnBed(part("box", "wall", box(10, 20, 30), aboutX(90))).toMold.every(Number.isInteger)).toBe(
    true,
  );
});

test("after any other turn the vertices are on the grid again, within its step of where they should be", () => {
  const mesh = octagon(40, 100);
  const laid = layOnBed(part("vessel", "wall", mesh, aboutX(31)));
  expect(laid.mesh.positions.every((value) => Number.isInteger(value / SNAP))).toBe(true);
  expect(laid.mesh.positions.length).toBe(mesh.positions.length);
  for (let i = 0; i < mesh.positions.length; i += 3) {
    const place = mesh.positions.slice(i, i + 3);
    let nearest = Infinity;
    for (let j = 0; j < laid.mesh.positions.length; j += 3) {
      const back = apply(laid.toMold, laid.mesh.positions.slice(j, j + 3));
      nearest = Math.min(nearest, Math.hypot(...back.map((value, axis) => value - place[axis])));
    }
    expect(nearest).toBeLessThan(SNAP);
  }
});

test("a turn that leaves slivers once snapped is refused", () => {
  const thin = box(10, 2 ** -12, 2 ** -12);
  expect(() => layOnBed(part("thin", "wall", thin, aboutX(45)))).toThrow(/thin turned onto the bed/);
});

test("a turn that is all but upright is taken as it is", () => {
  // A rounded cosine beside an unrounded sine would be no turn any more.
  const [c, s] = [Math.cos(3.2e-5), Math.sin(3.2e-5)];
  const turn = [1, 0, 0, 0, 0, c, s, 0, 0, -s, c, 0, 0, 0, 0, 1];
  expect(() => layOnBed(part("peg", "peg", box(1, 1, 1), turn))).not.toThrow();
});

test("a mirror and a stretch are not turns", () => {
  const mirror = UPRIGHT.map((value, i) => (i === 0 ? -value : value));
  expect(() => layOnBed(part("box", "wall", box(1, 1, 1), mirror))).toThrow("mirrors");
  const stretch = UPRIGHT.map((value, i) => (i === 0 ? 1.001 : value));
  expect(() => layOnBed(part("box", "wall", box(1, 1, 1), stretch))).toThrow("not rigid");
});
