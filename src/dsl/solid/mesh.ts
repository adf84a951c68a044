/**
 * A triangle mesh with shared vertices. Closed and outward-facing wherever it stands for a solid:
 * every edge is used once in each direction.
 */
export interface Mesh {
  /** xyz, mm, one after another. */
  positions: Float64Array;
  /** Vertex indices, three a triangle, counter-clockwise seen from outside. */
  triangles: Uint32Array;
}

export function triangleCount(mesh: Mesh): number {
  return mesh.triangles.length / 3;
}
