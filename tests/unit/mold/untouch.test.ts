import { describe, expect, it } from "vitest";
import { openEdges, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { tidy } from "../../../src/dsl/solid/tidy.ts";
import type { Tagged } from "../../../src/dsl/solid/tagged.ts";

/** Corners of a block, by bits x, y, z, and its facets seen from outside. */
const FACETS = [
  [0, 2, 3, 1],
  [4, 5, 7, 6],
  [0, 1, 5, 4],
  [2, 6, 7, 3],
  [0, 4, 6, 2],
  [1, 3, 7, 5],
].flatMap(([a, b, c, d]) => [a, b, c, a, c, d]);

type Box = { min: readonly number[]; max: readonly number[] };

/** Blocks side by side as one mesh, each with corners of its own until they are welded. */
function blocks(...boxes: Box[]): Tagged {
  const positions = boxes.flatMap(({ min, max }) =>
    Array.from({ length: 8 }, (_, c) => [0, 1, 2].map((axis) => ((c >> axis) & 1 ? max : min)[axis])).flat(),
  );
  const triangles = boxes.flatMap((_, i) => FACETS.map((v) => v + 8 * i));
  const mesh = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
  return { mesh, runs: [{ face: "outside", call: -1, start: 0, count: triangles.length / 3 }] };
}

describe("a solid that touches itself along an edge", () => {
  it("comes apart by a step of the grid: two blocks edge to edge", () => {
    const made = tidy(blocks({ min: [0, 0, 0], max: [10, 10, 10] }, { min: [10, 10, 0], max: [20, 20, 10] }));
    expect(openEdges(made.mesh)).toBe(0);
    expect(made.mesh.positions.length / 3).toBe(16);
    expect(Math.abs(volumeOf(made.mesh) - 2000)).toBeLessThan(0.05);
  });

  it("comes apart along a part of an edge that one of them has and the other has not", () => {
    const made = tidy(
      blocks(
        { min: [0, 0, 0], max: [10, 10, 10] },
        { min: [10, 10, 0], max: [20, 20, 10] },
        { min: [-10, 10, 0], max: [0, 20, 10] },
      ),
    );
    expect(openEdges(made.mesh)).toBe(0);
    expect(Math.abs(volumeOf(made.mesh) - 3000)).toBeLessThan(0.05);
  });

  it("is left alone where it does not", () => {
    const one = blocks({ min: [0, 0, 0], max: [10, 10, 10] });
    expect(volumeOf(tidy(one).mesh)).toBeCloseTo(1000, 9);
    const two = tidy(blocks({ min: [0, 0, 0], max: [10, 10, 10] }, { min: [10, 10, 10], max: [20, 20, 20] }));
    // In a corner alone each edge has its two facets.
    expect(openEdges(two.mesh)).toBe(0);
    expect(volumeOf(two.mesh)).toBeCloseTo(2000, 9);
  });
});
