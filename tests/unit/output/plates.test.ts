import { expect, test } from "vitest";
import type { Vec3 } from "../../../src/dsl/mold/model.ts";
import { fitsBed, packPlates, PLATE_GAP, PLATE_MARGIN } from "../../../src/dsl/output/plates.ts";

const BED: Vec3 = [220, 220, 250];

/** Numbers from a seed, 0…1 (mulberry32). */
function random(seed: number): () => number {
  return () => {
    seed = (seed + 0x6d2b79f5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const seeds = Array.from({ length: 60 }, (_, seed) => seed);

test.each(seeds)("seed %i: parts keep off each other and off the edge", (seed) => {
  const next = random(seed);
  const sizes = Array.from({ length: 1 + Math.floor(next() * 14) }, (): Vec3 => [
    5 + next() * 200,
    5 + next() * 200,
    5 + next() * 240,
  ]);
  const placements = packPlates(sizes, BED);
  expect(placements.length).toBe(sizes.length);
  const boxes = placements.map(({ plate, x, y, turned }, i) => {
    const [w, d] = turned ? [sizes[i][1], sizes[i][0]] : sizes[i];
    return { plate, x0: x, y0: y, x1: x + w, y1: y + d };
  });
  for (const [i, a] of boxes.entries()) {
    expect(Math.min(a.x0, a.y0)).toBeGreaterThanOrEqual(PLATE_MARGIN);
    expect(Math.max(a.x1, a.y1)).toBeLessThanOrEqual(220 - PLATE_MARGIN + 1e-9);
    for (const b of boxes.slice(0, i)) {
      if (a.plate !== b.plate) continue;
      const apart = Math.max(a.x0 - b.x1, b.x0 - a.x1, a.y0 - b.y1, b.y0 - a.y1);
      expect(apart).toBeGreaterThanOrEqual(PLATE_MARGIN - 1e-9);
    }
  }
  const plates = [...new Set(placements.map(({ plate }) => plate))].sort((a, b) => a - b);
  expect(plates).toEqual(plates.map((_, i) => i));
});

test("what fills the bed to its margin fits, and a hair more does not", () => {
  expect(fitsBed([210, 210, 250], BED)).toBe(true);
  expect(fitsBed([210.001, 210, 250], BED)).toBe(false);
  expect(fitsBed([10, 10, 250.001], BED)).toBe(false);
});

test("a long part fits a long bed turned a quarter, and is packed that way", () => {
  const bed: Vec3 = [100, 300, 100];
  expect(fitsBed([280, 50, 20], bed)).toBe(true);
  expect(packPlates([[280, 50, 20]], bed)).toEqual([{ plate: 0, x: 5, y: 5, turned: true }]);
});

test("a part too large gets a plate of its own after the others and does not reach into the next", () => {
  const sizes: Vec3[] = [
    [600, 500, 20],
    [100, 100, 20],
    [300, 60, 20],
  ];
  const placements = packPlates(sizes, BED);
  expect(placements[1].plate).toBe(0);
  const left = ({ plate, x }: { plate: number; x: number }) => plate * (220 + PLATE_GAP) + x;
  expect(left(placements[0]) + 500).toBeLessThan(left(placements[2]));
  expect(placements[0].turned && placements[2].turned).toBe(true);
});

test("no parts, no plates", () => expect(packPlates([], BED)).toEqual([]));
