import { describe, expect, test } from "vitest";
import {
  batchHalfWidth,
  pieceHalfWidth,
  readingUncertainty,
  sampleOf,
  studentT95,
} from "../../../src/dsl/clay/statistics.ts";
import { moldScale } from "../../../src/dsl/clay/shrinkage.ts";

describe("Student's t, 0.975 (any handbook; JCGM 100)", () => {
  test.each([
    [1, 12.7062],
    [2, 4.3027],
    [3, 3.1824],
    [4, 2.7764],
    [9, 2.2622],
    [10, 2.2281],
    [30, 2.0423],
    [1000, 1.9623],
  ])("%i degrees of freedom → %f", (degrees, t) => {
    expect(studentT95(degrees)).toBeCloseTo(t, 4);
  });

  test("half a degree of freedom is refused", () => {
    expect(() => studentT95(0.5)).toThrow(RangeError);
    expect(() => studentT95(0)).toThrow(RangeError);
  });
});

describe("bars 11.9 12.2 11.7 12.1 11.8 %", () => {
  const bars = sampleOf([0.119, 0.122, 0.117, 0.121, 0.118]);

  test("mean 11.94000, sd 0.20736, SE 0.09274, scale 1.135589", () => {
    expect(bars.n).toBe(5);
    expect(bars.mean * 100).toBeCloseTo(11.94, 5);
    expect(bars.sd! * 100).toBeCloseTo(0.20736, 5);
    expect(bars.se! * 100).toBeCloseTo(0.09274, 5);
    expect(moldScale(bars.mean)).toBeCloseTo(1.135589, 6);
  });

  test("fired 90 → mold 102.2030; 95 %: batch ±0.2631 mm, one piece ±0.6446 mm", () => {
    expect(90 * moldScale(bars.mean)).toBeCloseTo(102.203, 4);
    expect(batchHalfWidth(90, bars)).toBeCloseTo(0.2631, 4);
    expect(pieceHalfWidth(90, bars)).toBeCloseTo(0.6446, 4);
  });
});

test("one bar has no spread and gives no half-width", () => {
  const one = sampleOf([0.12]);
  expect(one).toEqual({ n: 1, mean: 0.12, sd: null, se: null });
  expect(batchHalfWidth(90, one)).toBeNull();
  expect(pieceHalfWidth(90, one)).toBeNull();
});

test("no bar is refused", () => {
  expect(() => sampleOf([])).toThrow(RangeError);
});

test("a 0.5 mm rule read at both ends of 100 mm is worth 0.2 points", () => {
  expect(readingUncertainty(100) * 100).toBeCloseTo(0.2, 2);
});
