import { beforeAll, describe, expect, it } from "vitest";
import { loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import {
  adviseLevels,
  crossLevels,
  leavesKeysRoom,
  measureStacked,
  withLevel,
} from "../../../src/dsl/mold/level-advice.ts";
import { LEAST_RING } from "../../../src/dsl/kit/split.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

/** Five lobes that turn by 80° over 140 mm: no upright seams free them. */
const lobes = profile.wave({ diameter: 80, waves: 5, amplitude: 6 });
const twisted = (turn = 0) => loft([lobes.turn(turn).at(0), lobes.turn(turn + 80).at(140)]);
const cut = (body = twisted(), at = 0): Mold =>
  mold(shrink(body, 0.12), { slab: 5, seams: split({ parts: 3, at }) });

const body = loft([lobes.at(0), lobes.at(60), lobes.at(140)]);

describe("heights for one more cross seam", () => {
  it("are whole, rise, have the sections among them, and keep away from the ends", () => {
    const heights = crossLevels({ body, levels: [] });
    expect(heights).toContain(60);
    expect(heights.every(Number.isInteger)).toBe(true);
    expect(heights).toEqual([...heights].sort((a, b) => a - b));
    expect(heights[0]).toBeGreaterThanOrEqual(LEAST_RING);
    expect(heights[heights.length - 1]).toBeLessThanOrEqual(140 - LEAST_RING);
  });

  it("keep away from cross seams that are there", () => {
    const heights = crossLevels({ body, levels: [70] });
    expect(heights.length).toBeGreaterThan(0);
    for (const z of heights) expect(Math.abs(z - 70)).toBeGreaterThanOrEqual(LEAST_RING);
  });

  it("of a low body there are none", () => {
    expect(crossLevels({ body: loft([lobes.at(0), lobes.at(25)]), levels: [] })).toEqual([]);
  });

  it.each([
    [[], 40, [40]],
    [[60], 40, [40, 60]],
    [[20, 90], 60, [20, 60, 90]],
  ])("%j with %i is in order", (levels, value, all) => {
    expect(withLevel(levels, value)).toEqual(all);
  });

  it.each([
    [[70], 70, true],
    [[35], 35, true],
    [[34], 34, false],
    [[106], 106, false],
    [[40, 70], 40, false],
    [[40, 75], 75, true],
    [[40, 75], 40, true],
  ])("a ring needs 35 mm for its keys: of %j, %i", (levels, value, room) => {
    expect(leavesKeysRoom({ body }, levels, value)).toBe(room);
  });
});

describe("cross seams that are advised", () => {
  it("each more leaves less than the one before, and adds to it", () => {
    const built = build(cut(), "idle");
    const held = built.model.undercuts.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
    const advice = adviseLevels(built);
    expect(held).toBeGreaterThan(100);
    expect(advice.length).toBeGreaterThan(0);
    advice.forEach(({ added, levels, undercutMm2 }, i) => {
      expect(levels).toHaveLength(i + 1);
      expect(added).toEqual(levels);
      expect(undercutMm2).toBeLessThan(i === 0 ? held : advice[i - 1].undercutMm2);
    });
  });

  it("rings leave as much when the form is turned", () => {
    const held = (turn: number) => {
      const built = build(cut(twisted(turn), turn), "idle");
      return measureStacked(built, built.seams, [70], "idle").undercutMm2;
    };
    expect(held(33)).toBeGreaterThan(20);
    expect(Math.abs(held(33) / held(0) - 1)).toBeLessThan(0.02);
  });

  it("a form that comes off as it is holds nothing between any of them", () => {
    const ring = profile.circle({ diameter: 70 });
    const built = build(cut(loft([ring.at(0), ring.scale(1.2).at(120)])), "idle");
    expect(measureStacked(built, built.seams, [60], "idle").undercutMm2).toBeLessThan(1);
  });

  it("a mold of one piece has no seams to stack", () => {
    const dish = loft([lobes.at(0), lobes.scale(1.4).at(40)]);
    expect(adviseLevels(build(mold(shrink(dish, 0.1), { seams: split.whole() }), "idle"))).toEqual([]);
  });
});
