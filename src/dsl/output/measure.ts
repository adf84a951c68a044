import type { Vec3 } from "../mold/model.ts";
import type { Mesh } from "../solid/mesh.ts";

export interface Box {
  min: Vec3;
  max: Vec3;
}

/** Smallest upright box around the vertices, mm, in the frame of the mesh. A mesh without vertices throws. */
export function boxOf({ positions }: Mesh): Box {
  if (positions.length === 0) throw new Error("an empty mesh has no size");
  const min: Vec3 = [Infinity, Infinity, Infinity];
  const max: Vec3 = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    const axis = i % 3;
    if (positions[i] < min[axis]) min[axis] = positions[i];
    if (positions[i] > max[axis]) max[axis] = positions[i];
  }
  return { min, max };
}

export interface Measures {
  /** mm³; negative when the mesh is inside out. */
  volume: number;
  /** mm². */
  area: number;
  /** Area of the smallest facet, mm². */
  leastFacet: number;
}

/** Volume Σ p·(q × r)/6 and surface of a closed mesh, taken about its first vertex to keep the sum exact far from the origin. */
export function measure({ positions, triangles }: Mesh): Measures {
  let volume = 0;
  let area = 0;
  let leastFacet = Infinity;
  const [ox, oy, oz] = positions;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t];
    const b = 3 * triangles[t + 1];
    const c = 3 * triangles[t + 2];
    const ax = positions[a] - ox;
    const ay = positions[a + 1] - oy;
    const az = positions[a + 2] - oz;
    const ux = positions[b] - ox - ax;
    const uy = positions[b + 1] - oy - ay;
    const uz = positions[b + 2] - oz - az;
    const vx = positions[c] - ox - ax;
    const vy = positions[c + 1] - oy - ay;
    const vz = positions[c + 2] - oz - az;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const facet = Math.hypot(nx, ny, nz) / 2;
    volume += (ax * nx + ay * ny + az * nz) / 6;
    area += facet;
    if (facet < leastFacet) leastFacet = facet;
  }
  return { volume, area, leastFacet };
}
