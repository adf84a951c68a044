import type { Body } from "../kit/body.ts";
import type { NormalMesh } from "../solid/kernel.ts";
import { boundsOf, facetCross, volumeOf } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
import { repair } from "../solid/repair.ts";
import type { Vec3 } from "./model.ts";
import { Unbuildable } from "./unbuildable.ts";

/** Too little to press, mm³. */
const LEAST_VOLUME = 1;

/**
 * A mesh that a maker brought, as a closed solid in the wet frame, standing on z = 0: welded, its
 * T-junctions mended, facing outwards. One that stays open is a finding.
 */
export function closedMesh(given: Mesh, from: string, scale: number, body: Body): Mesh {
  const { mesh, open, at } = repair(given);
  if (open > 0)
    throw new Unbuildable({
      code: "body-open",
      severity: "error",
      args: { from, open, x: Math.round(at[0]), y: Math.round(at[1]), z: Math.round(at[2]) },
      target: { call: body.call, argument: 0 },
      value: open,
      limit: 0,
      unit: "",
      at: at.map((value) => value * scale) as Vec3,
    });
  const volume = volumeOf(mesh);
  const triangles = mesh.triangles.slice();
  if (volume < 0) {
    for (let i = 0; i < triangles.length; i += 3)
      [triangles[i], triangles[i + 1]] = [triangles[i + 1], triangles[i]];
  }
  if (!(Math.abs(volume) * scale * scale * scale > LEAST_VOLUME))
    throw new Unbuildable({
      code: "body-open",
      severity: "error",
      variant: "empty",
      args: { from },
      target: { call: body.call, argument: 0 },
      value: 0,
      limit: LEAST_VOLUME,
      unit: "mm³",
    });
  const { min } = boundsOf(mesh);
  const positions = mesh.positions.map((value, i) => scale * (i % 3 === 2 ? value - min[2] : value));
  return { positions, triangles };
}

/** A mesh with the normal of its facet at each corner: for what is nothing but facets, they are the surface. */
export function facetSurface(mesh: Mesh): NormalMesh {
  const count = mesh.triangles.length;
  const positions = new Float64Array(3 * count);
  const normals = new Float64Array(3 * count);
  for (let i = 0; i < count; i += 3) {
    const n = facetCross(mesh, i);
    const length = Math.hypot(...n) || 1;
    for (let k = i; k < i + 3; k++) {
      const v = 3 * mesh.triangles[k];
      positions.set(mesh.positions.subarray(v, v + 3), 3 * k);
      for (let axis = 0; axis < 3; axis++) normals[3 * k + axis] = n[axis] / length;
    }
  }
  return { positions, normals, triangles: Uint32Array.from({ length: count }, (_, i) => i) };
}
