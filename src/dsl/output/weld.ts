import type { Mesh } from "../solid/mesh.ts";

/**
 * A mesh with shared vertices out of loose corners (xyz each, three corners a facet): corners with
 * the very same numbers become one vertex, numbered by first appearance. No distance is bridged.
 */
export function weldCorners(corners: ArrayLike<number>): Mesh {
  const count = corners.length / 3;
  const bits = new Float64Array(3);
  const words = new Uint32Array(bits.buffer);
  let capacity = 16;
  while (capacity < 2 * count) capacity *= 2;
  const slots = new Int32Array(capacity).fill(-1);
  const positions: number[] = [];
  const triangles = new Uint32Array(count);
  for (let corner = 0; corner < count; corner++) {
    // Adding 0 makes -0 and 0 the same bits.
    for (let axis = 0; axis < 3; axis++) bits[axis] = corners[3 * corner + axis] + 0;
    let hash = 0;
    for (const word of words) hash = Math.imul(hash ^ word, 0x9e3779b1) ^ (hash >>> 15);
    let slot = (hash >>> 0) & (capacity - 1);
    let vertex = slots[slot];
    while (
      vertex !== -1 &&
      (positions[3 * vertex] !== bits[0] ||
        positions[3 * vertex + 1] !== bits[1] ||
        positions[3 * vertex + 2] !== bits[2])
    ) {
      slot = (slot + 1) & (capacity - 1);
      vertex = slots[slot];
    }
    if (vertex === -1) {
      vertex = positions.length / 3;
      slots[slot] = vertex;
      positions.push(bits[0], bits[1], bits[2]);
    }
    triangles[corner] = vertex;
  }
  return { positions: Float64Array.from(positions), triangles };
}

/** The same mesh with vertices of equal place made one. */
export function weld({ positions, triangles }: Mesh): Mesh {
  const corners = new Float64Array(triangles.length * 3);
  triangles.forEach((vertex, corner) => {
    for (let axis = 0; axis < 3; axis++) corners[3 * corner + axis] = positions[3 * vertex + axis];
  });
  return weldCorners(corners);
}
