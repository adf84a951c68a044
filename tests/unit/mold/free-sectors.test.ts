import bunny from "bunny";
import { beforeAll, describe, expect, it } from "vitest";
import type { Vec3 } from "../../../src/dsl/leaving/vector.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { kernel, meshOf } from "../leaving/shapes.ts";
import { bestSectors, cutInto, sum } from "./free-sectors.ts";

beforeAll(loadKernel);

const figure: Mesh = {
  positions: Float64Array.from(
    bunny.positions.flatMap(([x, y, z]) => [10 * x, -10 * z, 10 * y]),
    Math.fround,
  ),
  triangles: Uint32Array.from(bunny.cells.flat()),
};
const X: Vec3 = [1, 0, 0];
const UP: Vec3 = [0, 0, 1];

describe("a closed solid in sectors about its middle", () => {
  it.each([2, 3, 4])("a ball in %i parts holds none of them", (parts) => {
    const ball = meshOf(kernel.Manifold.sphere(30, 64));
    const found = cutInto(ball, { parts, axis: UP, turn: 0 });
    expect(found).toHaveLength(parts);
    for (const { undercutMm2, cutMm3 } of found) {
      // Facets at the planes lean as much as a facet spans; no more than a strip of them.
      expect(undercutMm2).toBeLessThan(1);
      expect(cutMm3).toBeLessThan(0.5);
    }
  });

  it("a ring cut across its hole is held by it, cut level by nothing", () => {
    const ring = meshOf(kernel.CrossSection.circle(8, 48).translate(30, 0).revolve(96));
    expect(sum(cutInto(ring, { parts: 2, axis: UP, turn: 0 }))).toBeGreaterThan(500);
    const level = [0, Math.PI / 2].map((turn) => sum(cutInto(ring, { parts: 2, axis: X, turn })));
    expect(Math.min(...level)).toBeLessThan(1);
    expect(Math.max(...level)).toBeGreaterThan(500);
    expect(sum(bestSectors(ring, 2).found)).toBeLessThan(1);
  });

  it.each([2, 3, 4])("the bunny in %i parts: what is told is what moving the parts meets", (parts) => {
    for (const { undercutMm2, undercutMm, cutMm3, nudgedMm3, expectedMm3 } of cutInto(figure, {
      parts,
      axis: UP,
      turn: 0,
    })) {
      // The first overlap is the area that faces the wrong way, seen from behind, times the way (derived).
      expect(Math.abs(nudgedMm3 - expectedMm3)).toBeLessThan(0.05 * expectedMm3 + 0.01);
      expect(cutMm3 > 0.5).toBe(undercutMm2 > 0 && undercutMm >= 0.05);
      expect(undercutMm2).toBeGreaterThanOrEqual(0);
    }
  });

  it("a chosen plane through the bunny holds less than any along an axis", () => {
    const best = sum(bestSectors(figure, 2).found);
    for (const turn of [0, Math.PI / 2])
      for (const axis of [X, UP]) expect(best).toBeLessThan(sum(cutInto(figure, { parts: 2, axis, turn })));
  });
});
