import type { Mesh } from "../solid/mesh.ts";
import { Welder } from "../solid/weld.ts";
import type { Vec3 } from "./vector.ts";

/**
 * Clay that a part touches, mold frame, mm. A vertex on an edge of the form is there once for each
 * side, each with that side's normal. Triangles run counter-clockwise seen from outside the clay.
 */
export interface Facets extends Mesh {
  /** Outward unit normals of the *surface* at the vertices, xyz one after another. */
  normals: Float64Array;
}

/** For each vertex the number of its place: vertices at one place share it. */
export function placesOf(facets: Mesh): Int32Array {
  const p = facets.positions;
  const welder = new Welder(p.length / 3);
  const places = new Int32Array(p.length / 3);
  for (let i = 0; i < places.length; i++) places[i] = welder.index(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
  return places;
}

export const pointOf = (values: Float64Array, i: number): Vec3 => [
  values[3 * i],
  values[3 * i + 1],
  values[3 * i + 2],
];

const areas = new WeakMap<Mesh, Float64Array>();

/** Area of each facet, mm²; computed once for a mesh. */
export function facetAreas(mesh: Mesh): Float64Array {
  const known = areas.get(mesh);
  if (known) return known;
  const { positions: p, triangles: t } = mesh;
  const found = new Float64Array(t.length / 3);
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]];
    const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    found[i / 3] = Math.sqrt(x * x + y * y + z * z) / 2;
  }
  areas.set(mesh, found);
  return found;
}

/**
 * Area that each vertex stands for, mm²: a third of each facet about it. Goes with `normals` as the
 * weight of a clay normal.
 */
export function vertexAreas(mesh: Mesh): Float64Array {
  const t = mesh.triangles;
  const found = new Float64Array(mesh.positions.length / 3);
  facetAreas(mesh).forEach((area, f) => {
    for (let k = 3 * f; k < 3 * f + 3; k++) found[t[k]] += area / 3;
  });
  return found;
}

/** Numbers joined into groups. */
export class Groups {
  readonly #parent: Int32Array;

  constructor(count: number) {
    this.#parent = Int32Array.from({ length: count }, (_, i) => i);
  }

  of(i: number): number {
    const parent = this.#parent;
    while (parent[i] !== i) {
      parent[i] = parent[parent[i]];
      i = parent[i];
    }
    return i;
  }

  join(a: number, b: number): void {
    const [first, second] = [this.of(a), this.of(b)];
    // The lower number stands for the group, so that the order of joining does not matter.
    if (first < second) this.#parent[second] = first;
    else this.#parent[first] = second;
  }
}
