import type { Field } from "./distance.ts";
import type { Mesh } from "./mesh.ts";

type ContourField = Pick<Field, "origin" | "step" | "counts" | "values">;

/** Corners of a cube by bits x, y, z; its six tetrahedra share the diagonal from 0 to 7. */
const TETRAHEDRA = [
  [0, 1, 3, 7],
  [0, 3, 2, 7],
  [0, 2, 6, 7],
  [0, 6, 4, 7],
  [0, 4, 5, 7],
  [0, 5, 1, 7],
] as const;

/** Contour points keep this share of an edge from its ends, so that no facet shrinks to nothing. */
const FROM_END = 0.02;

/**
 * The surface on which a field has the value `level`, facing towards greater values; it is open where it
 * runs out of the field. Marching tetrahedra: neighbouring cubes cut their common face the
 * same way, so no case leaves a hole.
 * Source: Doi & Koide, "An Efficient Method of Triangulating Equi-Valued Surfaces by Using
 * Tetrahedral Cells", IEICE Trans. E74 (1991).
 */
export function contour({ origin, step, counts, values }: ContourField, level: number): Mesh {
  const [nx, ny, nz] = counts;
  const positions: number[] = [];
  const triangles: number[] = [];
  const vertices = new Map<number, number>();
  const offsets = Array.from({ length: 8 }, (_, c) => (c & 1) + nx * (((c >> 1) & 1) + ny * (c >> 2)));
  let base = 0;

  const vertex = (a: number, b: number): number => {
    // A cube's edges and diagonals all run from a corner to one that has more bits.
    const [low, high] = a < b ? [a, b] : [b, a];
    const from = base + offsets[low];
    const key = from * 8 + (high ^ low);
    const known = vertices.get(key);
    if (known !== undefined) return known;
    const to = base + offsets[high];
    const share = (level - values[from]) / (values[to] - values[from]);
    const t = Math.min(1 - FROM_END, Math.max(FROM_END, share));
    const bits = high ^ low;
    const i = from % nx;
    const j = Math.floor(from / nx) % ny;
    const k = Math.floor(from / (nx * ny));
    positions.push(
      origin[0] + step * (i + t * (bits & 1)),
      origin[1] + step * (j + t * ((bits >> 1) & 1)),
      origin[2] + step * (k + t * (bits >> 2)),
    );
    const made = positions.length / 3 - 1;
    vertices.set(key, made);
    return made;
  };

  const below = new Uint8Array(8);
  for (let k = 0; k + 1 < nz; k++) {
    for (let j = 0; j + 1 < ny; j++) {
      base = (k * ny + j) * nx;
      for (let i = 0; i + 1 < nx; i++, base++) {
        let count = 0;
        for (let c = 0; c < 8; c++) count += below[c] = values[base + offsets[c]] < level ? 1 : 0;
        if (count === 0 || count === 8) continue;
        for (const tetrahedron of TETRAHEDRA) {
          const inside = tetrahedron.filter((c) => below[c] === 1);
          if (inside.length === 0 || inside.length === 4) continue;
          cut(tetrahedron, below, vertex, triangles);
        }
      }
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** One tetrahedron with corners a, b, c, d such that d lies on the counter-clockwise side of a, b, c. */
function cut(
  [a, b, c, d]: readonly [number, number, number, number],
  below: Uint8Array,
  vertex: (a: number, b: number) => number,
  triangles: number[],
): void {
  // Even permutations that bring the one corner, or the two, that are on their own to the front.
  const turns = [
    [a, b, c, d],
    [b, a, d, c],
    [c, a, b, d],
    [d, a, c, b],
    [a, c, d, b],
    [a, d, b, c],
  ];
  const own = (below[a] ? 1 : 0) + (below[b] ? 1 : 0) + (below[c] ? 1 : 0) + (below[d] ? 1 : 0);
  if (own === 2) {
    for (const [p, q, r, s] of [
      [a, b, c, d],
      [a, c, d, b],
      [a, d, b, c],
      [c, d, a, b],
      [d, b, a, c],
      [b, c, a, d],
    ]) {
      if (!below[p] || !below[q]) continue;
      const [pr, ps, qr, qs] = [vertex(p, r), vertex(p, s), vertex(q, r), vertex(q, s)];
      triangles.push(pr, qs, qr, pr, ps, qs);
      return;
    }
  }
  const lone = own === 1 ? 1 : 0;
  for (const [p, q, r, s] of turns) {
    if (below[p] !== lone) continue;
    const [pq, pr, ps] = [vertex(p, q), vertex(p, r), vertex(p, s)];
    if (lone === 1) triangles.push(pq, pr, ps);
    else triangles.push(pq, ps, pr);
    return;
  }
}
