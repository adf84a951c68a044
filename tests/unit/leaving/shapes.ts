import Module, { type Manifold } from "manifold-3d";
import type { Facets } from "../../../src/dsl/leaving/facets.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { normalize } from "./random.ts";

export const kernel = await Module();
kernel.setup();

export function meshOf(solid: Manifold): Mesh {
  const { vertProperties, triVerts, numProp } = solid.getMesh();
  const positions = new Float64Array((vertProperties.length / numProp) * 3);
  for (let i = 0; i < positions.length / 3; i++)
    for (let k = 0; k < 3; k++) positions[3 * i + k] = vertProperties[numProp * i + k];
  return { positions, triangles: Uint32Array.from(triVerts) };
}

export function solidOf(mesh: Mesh): Manifold {
  return new kernel.Manifold(
    new kernel.Mesh({
      numProp: 3,
      vertProperties: Float32Array.from(mesh.positions),
      triVerts: Uint32Array.from(mesh.triangles),
    }),
  );
}

/** Facets whose middle and normal `keep` accepts, with the facets' own normals or those that `normalAt` gives. */
export function facetsOf(
  mesh: Mesh,
  keep: (middle: number[], normal: number[]) => boolean,
  normalAt?: (p: number[]) => number[],
): Facets {
  const positions: number[] = [];
  const normals: number[] = [];
  for (let f = 0; f < mesh.triangles.length; f += 3) {
    const corners = [0, 1, 2].map((k) => {
      const i = 3 * mesh.triangles[f + k];
      return [...mesh.positions.subarray(i, i + 3)];
    });
    const [a, b, c] = corners;
    const u = b.map((x, k) => x - a[k]);
    const v = c.map((x, k) => x - a[k]);
    const cross = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    if (Math.hypot(...cross) < 1e-12) continue;
    const normal = normalize(cross);
    if (
      !keep(
        [0, 1, 2].map((k) => (a[k] + b[k] + c[k]) / 3),
        normal,
      )
    )
      continue;
    for (const corner of corners) {
      positions.push(...corner);
      normals.push(...(normalAt ? normalize(normalAt(corner)) : normal));
    }
  }
  return {
    positions: Float64Array.from(positions),
    normals: Float64Array.from(normals),
    triangles: Uint32Array.from({ length: positions.length / 3 }, (_, i) => i),
  };
}

/** A solid of level rings, r(angle, z) with `turn(z)` degrees, closed by level caps. Columns follow the turn. */
export function ringBody(
  zs: readonly number[],
  columns: number,
  radius: (angle: number, z: number) => number,
  turn: (z: number) => number = () => 0,
): Mesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (const z of zs)
    for (let k = 0; k < columns; k++) {
      const local = (2 * Math.PI * k) / columns;
      const angle = local + (turn(z) * Math.PI) / 180;
      const r = radius(local, z);
      positions.push(r * Math.cos(angle), r * Math.sin(angle), z);
    }
  for (let i = 0; i + 1 < zs.length; i++)
    for (let k = 0; k < columns; k++) {
      const [a, b] = [i * columns + k, i * columns + ((k + 1) % columns)];
      triangles.push(a, b, b + columns, a, b + columns, a + columns);
    }
  const bottom = positions.length / 3;
  positions.push(0, 0, zs[0], 0, 0, zs[zs.length - 1]);
  const last = (zs.length - 1) * columns;
  for (let k = 0; k < columns; k++) {
    const next = (k + 1) % columns;
    triangles.push(bottom, next, k, bottom + 1, last + k, last + next);
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

export const steps = (from: number, to: number, count: number): number[] =>
  Array.from({ length: count + 1 }, (_, i) => from + ((to - from) * i) / count);

/** The bars' outline (x, z) drawn along y from 0 to `length`. */
export function extrusion(outline: [number, number][], length: number): Mesh {
  const section = new kernel.CrossSection([outline]);
  const solid = kernel.Manifold.extrude(section, length).rotate([90, 0, 0]).translate([0, length, 0]);
  return meshOf(solid);
}
