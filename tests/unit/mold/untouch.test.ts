import { describe, expect, it } from "vitest";
import { loadKernel, withScope } from "../../../src/dsl/solid/kernel.ts";
import { openEdges, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { tidy } from "../../../src/dsl/solid/tidy.ts";
import type { Tagged } from "../../../src/dsl/solid/tagged.ts";
import { box } from "../output/fixture.ts";

type Corner = [number, number, number];

/** Cubes of 10 mm by their lowest corners as one mesh, each with corners of its own until they are welded. */
function cubes(...corners: Corner[]): Tagged {
  const meshes = corners.map((at) => box(10, 10, 10, at));
  const positions = meshes.flatMap((mesh) => [...mesh.positions]);
  const triangles = meshes.flatMap((mesh, i) => [...mesh.triangles].map((v) => v + 8 * i));
  const mesh = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
  return { mesh, runs: [{ face: "outside", call: -1, start: 0, count: triangles.length / 3 }] };
}

describe("a solid that touches itself along an edge", () => {
  it("comes apart by a step of the grid: two blocks edge to edge", () => {
    const made = tidy(cubes([0, 0, 0], [10, 10, 0]));
    expect(openEdges(made.mesh)).toBe(0);
    expect(made.mesh.positions.length / 3).toBe(16);
    expect(Math.abs(volumeOf(made.mesh) - 2000)).toBeLessThan(0.05);
  });

  it("comes apart at each of two edges: three blocks in a zigzag", () => {
    const made = tidy(cubes([0, 0, 0], [10, 10, 0], [-10, 10, 0]));
    expect(openEdges(made.mesh)).toBe(0);
    // Twice two steps of the grid over half a side.
    expect(Math.abs(volumeOf(made.mesh) - 3000)).toBeLessThan(0.1);
  });

  it("comes apart along an edge whose ends are one: two posts that meet in an edge, between two plates", async () => {
    await loadKernel();
    const tag = { face: "outside", call: -1 } as const;
    const made = withScope((scope) =>
      tidy(
        scope.mesh(
          scope.union([
            scope.box([0, 0, 0], [10, 10, 10], tag),
            scope.box([10, 10, 0], [20, 20, 10], tag),
            scope.box([0, 0, -5], [20, 20, 0], tag),
            scope.box([0, 0, 10], [20, 20, 15], tag),
          ]),
        ),
      ),
    );
    expect(openEdges(made.mesh)).toBe(0);
    expect(Math.abs(volumeOf(made.mesh) - 6000)).toBeLessThan(0.05);
  });

  it("is left alone where it does not", () => {
    const one = cubes([0, 0, 0]);
    expect(volumeOf(tidy(one).mesh)).toBeCloseTo(1000, 9);
    const two = tidy(cubes([0, 0, 0], [10, 10, 10]));
    // In a corner alone each edge has its two facets.
    expect(openEdges(two.mesh)).toBe(0);
    expect(volumeOf(two.mesh)).toBeCloseTo(2000, 9);
  });
});
