/** What we use of @kninnug/constrainautor, whose own types are TypeScript source that our settings do not take. */
export default class Constrainautor {
  constructor(delaunay: { coords: ArrayLike<number>; triangles: Uint32Array; halfedges: Int32Array });
  /** Adds the edges, each a pair of point indices. */
  constrainAll(edges: readonly (readonly [number, number])[]): this;
}
