import { beforeAll, describe, expect, it } from "vitest";
import type { DimensionView } from "../../../shared/engine.ts";
import { loft, mold, profile, shrink } from "../../../src/dsl/index.ts";
import { buildBody } from "../../../src/dsl/mold/body.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { dimensionsOf } from "../../../src/dsl/view/dimensions.ts";
import { moldView, bodyView } from "../../../src/dsl/view/mold-view.ts";
import { widestPair } from "../../../src/dsl/view/widest.ts";
import { beakerMold, build } from "../mold/samples.ts";
import { randomFrom } from "../leaving/random.ts";

beforeAll(loadKernel);

const none = new Set<string>();
const by = (dimensions: readonly DimensionView[]) =>
  Object.fromEntries(dimensions.map((one) => [one.what, one]));
/** A fired length is off by no more than the coarse mesh, mm. */
const TYPING = 0.2;

describe("dimensions", () => {
  it("the beaker: height, foot and rim across its corners, fired and wet; nothing is wider or narrower", () => {
    const { dimensions } = moldView(build(beakerMold(), "typing"), "typing", none);
    const { height, foot, rim, ...more } = by(dimensions);
    expect(more).toEqual({});
    // Across the fillets of opposite corners: 2·((acrossFlats/2 − r)/cos(180°/8) + r).
    const across = (flats: number, r: number) => 2 * ((flats / 2 - r) / Math.cos(Math.PI / 8) + r);
    // Vertices lie on a grid of 2⁻¹³ mm.
    expect(height.fired).toBeCloseTo(104, 3);
    expect(height.wet).toBeCloseTo(104 / 0.875, 3);
    expect(Math.abs(foot.fired - across(62, 4))).toBeLessThan(TYPING);
    expect(Math.abs(rim.fired - across(80, 8))).toBeLessThan(TYPING);
    expect(rim.wet / rim.fired).toBeCloseTo(1 / 0.875, 9);
    expect([foot.from[2], foot.to[2], rim.from[2]]).toEqual([0, 0, height.to[2]]);
    // On a corner, which lies on x.
    expect(rim.to[1]).toBeCloseTo(0, 6);
    expect(height.to).toEqual([rim.to[0], rim.to[1], rim.to[2]]);
  });

  it("belly and neck have lines of their own where they differ by more than 1 mm", () => {
    const circle = (diameter: number) => profile.circle({ diameter });
    const vase = (belly: number, neck: number) =>
      shrink(loft([circle(60).at(0), circle(belly).at(50), circle(neck).at(110), circle(60).at(130)]), 0.1);
    const carafe = by(bodyView(vase(96, 48), "vase", "idle", none).dimensions);
    expect(carafe.widest.fired).toBeCloseTo(96, 1);
    expect(carafe.widest.from[2] * 0.9).toBeCloseTo(50, 0);
    expect(carafe.narrowest.fired).toBeCloseTo(48, 1);
    expect(carafe.narrowest.to[2] * 0.9).toBeCloseTo(110, 0);
    expect(Object.keys(by(bodyView(vase(60.8, 60), "vase", "idle", none).dimensions)).sort()).toEqual([
      "foot",
      "height",
      "rim",
    ]);
  });

  it("ends lie on the clay, and nothing of it lies beyond them along their line", () => {
    const leaning = loft([
      profile.ellipse({ width: 70, depth: 50 }).at(0),
      profile.ellipse({ width: 90, depth: 60 }).turn(40).shift(12, 5).at(60),
      profile.ellipse({ width: 66, depth: 52 }).turn(70).at(120),
    ]);
    const { mesh } = buildBody(leaning, "typing").solid;
    for (const { what, from, to, wet } of dimensionsOf(mesh, 1)) {
      const along = to.map((value, axis) => (value - from[axis]) / wet);
      const beyond = { low: Infinity, high: -Infinity };
      const nearest = { from: Infinity, to: Infinity };
      for (let i = 0; i < mesh.positions.length; i += 3) {
        const point = [0, 1, 2].map((axis) => mesh.positions[i + axis]);
        const away = (end: readonly number[]) => Math.hypot(...point.map((value, axis) => value - end[axis]));
        nearest.from = Math.min(nearest.from, away(from));
        nearest.to = Math.min(nearest.to, away(to));
        if (what !== "height" && Math.abs(point[2] - from[2]) > 1e-6) continue;
        const at = point.reduce((sum, value, axis) => sum + (value - from[axis]) * along[axis], 0);
        beyond.low = Math.min(beyond.low, at);
        beyond.high = Math.max(beyond.high, at);
      }
      expect(beyond.low, what).toBeGreaterThan(-1e-6);
      expect(beyond.high, what).toBeLessThan(wet + 1e-6);
      const ends = [nearest.from, nearest.to].filter((one) => one < 1e-6).length;
      expect(ends, what).toBe(what === "height" ? 1 : 2);
    }
  });

  it("what is scaled at the printer is as large fired as wet here", () => {
    const pot = shrink(
      loft([profile.circle({ diameter: 60 }).at(0), profile.circle({ diameter: 70 }).at(80)]),
      0,
    );
    const { height } = by(moldView(build(mold(pot), "typing"), "typing", none).dimensions);
    expect(height.fired).toBe(height.wet);
  });
});

describe("the farthest two of many points", () => {
  const random = randomFrom(20261);
  it.each(Array.from({ length: 40 }, (_, i) => i))("random points, seed 20261, case %i", (i) => {
    const points = Array.from({ length: 3 + 4 * i }, () => ({ x: random() * 80, y: random() * (1 + i) }));
    let widest = 0;
    for (const a of points)
      for (const b of points) widest = Math.max(widest, Math.hypot(a.x - b.x, a.y - b.y));
    const found = widestPair(points);
    expect(found?.width).toBeGreaterThan(widest - 0.05);
    expect(found?.width).toBeLessThanOrEqual(widest);
  });

  it("squares, lines, points", () => {
    const square = [0, 1, 2, 3].map((k) => ({ x: k & 1 ? 10 : 0, y: k & 2 ? 10 : 0 }));
    expect(widestPair(square)?.width).toBeCloseTo(Math.hypot(10, 10), 9);
    const line = [3, 1, 2].map((x) => ({ x, y: 0 }));
    expect(widestPair(line)).toEqual({ from: { x: 1, y: 0 }, to: { x: 3, y: 0 }, width: 2 });
    expect(widestPair([{ x: 1, y: 1 }])).toBeNull();
    expect(
      widestPair([
        { x: 1, y: 1 },
        { x: 1, y: 1 },
      ]),
    ).toBeNull();
    expect(widestPair([])).toBeNull();
  });
});
