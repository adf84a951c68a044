import type { Mesh } from "../solid/mesh.ts";

/** Facets that meet at more than this show an edge, degrees. */
const CRISP = 30;

/** Vertex pairs where two facets of a closed mesh meet at a clear angle. */
export function crispEdges({ positions: p, triangles: t }: Mesh): Uint32Array {
  const normals = unitNormals(p, t);
  const halfEdges = new HalfEdges(t.length);
  const least = Math.cos((CRISP * Math.PI) / 180);
  const edges = new Uint32Array(t.length);
  let end = 0;
  for (let f = 0; f < t.length; f += 3) {
    for (let k = 0; k < 3; k++) {
      const from = t[f + k];
      const to = t[f + ((k + 1) % 3)];
      const other = halfEdges.opposite(from, to, f);
      if (other < 0) continue;
      const cos =
        normals[f] * normals[other] +
        normals[f + 1] * normals[other + 1] +
        normals[f + 2] * normals[other + 2];
      if (cos >= least) continue;
      edges[end++] = from;
      edges[end++] = to;
    }
  }
  return edges.slice(0, end);
}

function unitNormals(p: Float64Array, t: Uint32Array): Float64Array {
  const normals = new Float64Array(t.length);
  for (let f = 0; f < t.length; f += 3) {
    const a = 3 * t[f];
    const b = 3 * t[f + 1];
    const c = 3 * t[f + 2];
    const ux = p[b] - p[a];
    const uy = p[b + 1] - p[a + 1];
    const uz = p[b + 2] - p[a + 2];
    const vx = p[c] - p[a];
    const vy = p[c + 1] - p[a + 1];
    const vz = p[c + 2] - p[a + 2];
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const length = Math.sqrt(x * x + y * y + z * z) || 1;
    normals[f] = x / length;
    normals[f + 1] = y / length;
    normals[f + 2] = z / length;
  }
  return normals;
}

/** Edges by their ends in an open hash table: a `Map` takes ten times as long. */
class HalfEdges {
  readonly #mask: number;
  readonly #from: Int32Array;
  readonly #to: Int32Array;
  readonly #facet: Int32Array;

  constructor(halfEdges: number) {
    let size = 16;
    while (size < 2 * halfEdges) size *= 2;
    this.#mask = size - 1;
    this.#from = new Int32Array(size).fill(-1);
    this.#to = new Int32Array(size);
    this.#facet = new Int32Array(size);
  }

  /** The facet on the other side, when that came before; −1 and remembered when not. */
  opposite(from: number, to: number, facet: number): number {
    const back = this.#slot(to, from);
    if (this.#from[back] >= 0) return this.#facet[back];
    const slot = this.#slot(from, to);
    this.#from[slot] = from;
    this.#to[slot] = to;
    this.#facet[slot] = facet;
    return -1;
  }

  #slot(from: number, to: number): number {
    let mixed = Math.imul(from, 0x9e3779b1) + to;
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x85ebca6b);
    let slot = (mixed ^ (mixed >>> 13)) & this.#mask;
    while (this.#from[slot] >= 0 && (this.#from[slot] !== from || this.#to[slot] !== to))
      slot = (slot + 1) & this.#mask;
    return slot;
  }
}
