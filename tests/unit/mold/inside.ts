import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from "three";
import { MeshBVH } from "three-mesh-bvh";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";

/** Directions of no particular bearing: a ray along one of them grazes an edge by chance only. */
const DIRECTIONS = [
  [0.5773, 0.2113, 0.7887],
  [-0.3117, 0.8563, 0.4129],
  [0.1871, -0.6421, -0.7436],
].map(([x, y, z]) => new Vector3(x, y, z).normalize());

/** Asks a closed mesh whether a point lies in it: by the parity of what a ray meets, the word of two rays of three. */
export function insideOf(mesh: Mesh): (x: number, y: number, z: number) => boolean {
  const tree = treeOf(mesh.positions, mesh.triangles);
  return (x, y, z) => {
    const odd = DIRECTIONS.filter((direction) => {
      const hits = tree.raycast(new Ray(new Vector3(x, y, z), direction), DoubleSide);
      return hits.length % 2 === 1;
    });
    return odd.length >= 2;
  };
}

/** Facets as a tree to ask for rays and distances. Vertices lie on the snapping grid, which float32 holds exactly. */
export function treeOf(positions: Float64Array, triangles: ArrayLike<number>): MeshBVH {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(Float32Array.from(positions), 3));
  geometry.setIndex(Array.from(triangles));
  return new MeshBVH(geometry, { indirect: true });
}

/** Numbers in [0, 1) that are the same for the same seed (mulberry32, public domain). */
export function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** The facets of the clay's side, to ask for distances. */
export function cavityOf({ clay }: BuiltMold): MeshBVH {
  const index: number[] = [];
  for (const run of clay.runs) {
    if (run.face !== "cavity") continue;
    for (let i = 3 * run.start; i < 3 * (run.start + run.count); i++) index.push(clay.mesh.triangles[i]);
  }
  return treeOf(clay.mesh.positions, index);
}

/** Places on a facet at which distances are asked for: middle, edges and a corner. */
export const BARYCENTRIC = [
  [1 / 3, 1 / 3, 1 / 3],
  [0.5, 0.5, 0],
  [0, 0.5, 0.5],
  [0.5, 0, 0.5],
  [1, 0, 0],
];
