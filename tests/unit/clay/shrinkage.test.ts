import { describe, expect, test } from "vitest";
import {
  compoundShrinkage,
  dryingShrinkage,
  firingShrinkage,
  guessDrying,
  moldScale,
  remainingShrinkage,
  totalShrinkage,
  volumeShrinkage,
} from "../../../src/dsl/clay/shrinkage.ts";

describe("shrinkage of one bar, after ASTM C326 (memory)", () => {
  test("wet 100, dry 93.9, fired 87.6 → 6.1000 %, 6.7093 %, 12.4000 %", () => {
    expect(dryingShrinkage(100, 93.9) * 100).toBeCloseTo(6.1, 4);
    expect(firingShrinkage(93.9, 87.6) * 100).toBeCloseTo(6.7093, 4);
    expect(totalShrinkage(100, 87.6) * 100).toBeCloseTo(12.4, 4);
  });

  test("drying and firing compound to the total and do not add to it (derived)", () => {
    const drying = dryingShrinkage(100, 93.9);
    const firing = firingShrinkage(93.9, 87.6);
    expect(compoundShrinkage(drying, firing)).toBeCloseTo(0.124, 12);
    expect((drying + firing) * 100).toBeCloseTo(12.8093, 4);
    expect(remainingShrinkage(0.124, drying)).toBeCloseTo(firing, 12);
  });

  test("nothing compounds to nothing; a guessed drying compounds with itself to the total", () => {
    expect(compoundShrinkage()).toBe(0);
    expect(compoundShrinkage(guessDrying(0.124), guessDrying(0.124))).toBeCloseTo(0.124, 12);
  });
});

describe("scale of the mold (derived)", () => {
  test.each([
    [0.05, 1.052632, -0.25, 0.857375],
    [0.1, 1.111111, -1, 0.729],
    [0.12, 1.136364, -1.44, 0.681472],
    [0.13, 1.149425, -1.69, 0.658503],
    [0.18, 1.219512, -3.24, 0.551368],
  ])("%f: scale %f; 1 + s instead is off by %f %%; volume kept %f", (s, scale, wrong, kept) => {
    expect(moldScale(s)).toBeCloseTo(scale, 6);
    expect(((1 + s) * (1 - s) - 1) * 100).toBeCloseTo(wrong, 10);
    expect(1 - volumeShrinkage(s)).toBeCloseTo(kept, 6);
  });

  test("total 12 %, 2 % used: cavity 1.113636, template 1.136364; fired 85 → 94.65909", () => {
    expect(moldScale(0.12, 0.02)).toBeCloseTo(1.113636, 6);
    expect(moldScale(0.12)).toBeCloseTo(1.136364, 6);
    expect(85 * moldScale(0.12, 0.02)).toBeCloseTo(94.65909, 5);
  });

  test("axes that shrink differently multiply", () => {
    expect(volumeShrinkage(0.1, 0.2, 0.05)).toBeCloseTo(1 - 0.9 * 0.8 * 0.95, 12);
  });
});

test("a frustum of 47/38 × 105 mm holds 598.0493 mL wet, 407.5538 mL fired at 12 %; at 12.5 % 1.6949 % less (derived)", () => {
  // V = πH/3(r1² + r1r2 + r2²) (standard geometry); mm³ to mL.
  const wet = ((Math.PI * 105) / 3) * (47 * 47 + 47 * 38 + 38 * 38) * 1e-3;
  expect(wet).toBeCloseTo(598.0493, 4);
  const fired = (s: number) => wet * (1 - volumeShrinkage(s));
  expect(fired(0.12)).toBeCloseTo(407.5538, 4);
  expect((fired(0.125) / fired(0.12) - 1) * 100).toBeCloseTo(-1.6949, 3);
});
