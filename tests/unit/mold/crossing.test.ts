import bunny from "bunny";
import { type BufferGeometry, IcosahedronGeometry, Matrix4 } from "three";
import { mergeVertices } from "three/examples/jsm/utils/BufferGeometryUtils.js";
import { MeshBVH } from "three-mesh-bvh";
import { describe, expect, it } from "vitest";
import { crossings, shellsOf } from "../../../src/dsl/solid/crossing.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";

/** A ball of 1280 facets about (x, y, z). */
function ball(radius: number, [x, y, z]: [number, number, number]): BufferGeometry {
  const bare = new IcosahedronGeometry(radius, 7);
  bare.deleteAttribute("normal");
  bare.deleteAttribute("uv");
  return mergeVertices(bare, 1e-4).translate(x, y, z);
}

const joined = (...geometries: BufferGeometry[]): Mesh => {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (const geometry of geometries) {
    const first = positions.length / 3;
    positions.push(...geometry.getAttribute("position").array);
    triangles.push(...Array.from(geometry.getIndex()!.array, (v) => v + first));
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
};

describe("facets that go through one another", () => {
  // Kept seeds: directions in which the second ball is moved.
  for (const seed of [1, 2, 3, 4, 5, 6]) {
    const [a, b] = [seed * 2.399, Math.asin(((seed * 0.618) % 1) * 2 - 1)];
    const way = [Math.cos(a) * Math.cos(b), Math.sin(a) * Math.cos(b), Math.sin(b)];
    for (const distance of [0.3, 6, 12, 17.5, 19.5, 20.1, 25]) {
      it(`two balls, way ${seed}, ${distance} mm apart: as many as another library finds (three-mesh-bvh)`, () => {
        const one = ball(10, [0, 0, 0]);
        const other = ball(10, way.map((value) => value * distance) as [number, number, number]);
        const mesh = joined(one, other);
        const found = [...crossings(mesh)];
        const oracle = new MeshBVH(one).intersectsGeometry(other, new Matrix4());
        expect(found.length > 0).toBe(oracle);
        const { of, count } = shellsOf(mesh);
        expect(count).toBe(2);
        for (const { facets } of found) expect(of[facets[0]]).not.toBe(of[facets[1]]);
      });
    }
  }

  it("there are none in the bunny (npm `bunny`), closed as it is", () => {
    const scan: Mesh = {
      positions: Float64Array.from(bunny.positions.flat(), (value) => 10 * value),
      triangles: Uint32Array.from(bunny.cells.flat()),
    };
    expect([...crossings(scan)]).toEqual([]);
    expect(shellsOf(scan).count).toBe(1);
  });

  it("where and between which facets, by plane geometry", () => {
    const mesh: Mesh = {
      positions: Float64Array.from([0, 0, 0, 10, 0, 0, 0, 10, 0, 2, 2, -1, 2, 2, 3, 9, 9, 3]),
      triangles: Uint32Array.from([0, 1, 2, 3, 4, 5]),
    };
    const [only, ...more] = crossings(mesh);
    expect(more).toEqual([]);
    expect([...only.facets].sort()).toEqual([0, 1]);
    expect(only.at).toEqual([2, 2, 0]);
    // Lifted until it stands on the first facet, or less than the least depth into it, it only touches.
    for (const lift of [1, 0.995]) {
      const moved = mesh.positions.map((value, i) => (i >= 9 && i % 3 === 2 ? value + lift : value));
      expect([...crossings({ ...mesh, positions: moved })]).toEqual([]);
    }
  });
});
