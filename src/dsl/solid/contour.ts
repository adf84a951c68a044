import type { Field } from "./distance.ts";
import type { Mesh } from "./mesh.ts";

type ContourField = Omit<Field, "nearest">;

/** Contour points keep this share of an edge from its ends, so that no facet shrinks to nothing. */
const FROM_END = 0.02;

/**
 * The surface on which a field has the value `level`, facing towards greater values; it is open where it
 * runs out of the field. Cube by cube: on each face of a cube the corners below the level that do not
 * stand side by side are kept apart, which both cubes at that face do alike, so that no case leaves a
 * hole.
 * Source: Lorensen & Cline, "Marching cubes", SIGGRAPH 1987; the cases are made here, face by face.
 */
export function contour(field: ContourField, level: number): Mesh {
  const { origin, step, counts, values, blocks, blockCounts } = field;
  const [nx, ny, nz] = counts;
  const positions: number[] = [];
  const triangles: number[] = [];
  const offsets = Array.from({ length: 8 }, (_, c) => (c & 1) + nx * (((c >> 1) & 1) + ny * (c >> 2)));
  // Of each point its edges along x, y and z; only those of two layers are ever asked for.
  const layer = nx * ny;
  const known = [new Int32Array(3 * layer).fill(-1), new Int32Array(3 * layer).fill(-1)];
  let base = 0;

  const vertex = (edge: number): number => {
    const { low, high, axis } = EDGES[edge];
    const from = base + offsets[low];
    const k = Math.floor(from / layer);
    const slots = known[k & 1];
    const slot = 3 * (from - k * layer) + axis;
    if (slots[slot] >= 0) return slots[slot];
    const share = (level - values[from]) / (values[base + offsets[high]] - values[from]);
    const t = Math.min(1 - FROM_END, Math.max(FROM_END, share));
    const i = from % nx;
    const j = Math.floor(from / nx) % ny;
    positions.push(
      origin[0] + step * (i + (axis === 0 ? t : 0)),
      origin[1] + step * (j + (axis === 1 ? t : 0)),
      origin[2] + step * (k + (axis === 2 ? t : 0)),
    );
    return (slots[slot] = positions.length / 3 - 1);
  };
  const loop: number[] = [];
  for (let k = 0; k + 1 < nz; k++) {
    known[(k + 1) & 1].fill(-1);
    for (let j = 0; j + 1 < ny; j++) {
      const row = (k * ny + j) * nx;
      const block = ((k >> 1) * blockCounts[1] + (j >> 1)) * blockCounts[0];
      for (let i = 0; i + 1 < nx; i++) {
        if (blocks[block + (i >> 1)] === 0) {
          i++;
          continue;
        }
        base = row + i;
        let mask = 0;
        for (let c = 0; c < 8; c++) if (values[base + offsets[c]] < level) mask |= 1 << c;
        if (mask === 0 || mask === 255) continue;
        for (const { edges, apex } of CASES[mask]) {
          loop.length = 0;
          for (const edge of edges) loop.push(vertex(edge));
          if (apex >= 0) {
            for (let e = 1; e + 1 < loop.length; e++)
              triangles.push(loop[apex], loop[(apex + e) % loop.length], loop[(apex + e + 1) % loop.length]);
          } else {
            const middle = middleOf(positions, loop);
            for (let e = 0; e < loop.length; e++)
              triangles.push(middle, loop[e], loop[(e + 1) % loop.length]);
          }
        }
      }
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

function middleOf(positions: number[], loop: readonly number[]): number {
  const sum = [0, 0, 0];
  for (const v of loop) for (let axis = 0; axis < 3; axis++) sum[axis] += positions[3 * v + axis];
  positions.push(...sum.map((value) => value / loop.length));
  return positions.length / 3 - 1;
}

/** Edges of a cube whose corners are numbered by bits x, y, z, from the corner with fewer bits. */
const EDGES = [0, 1, 2].flatMap((axis) =>
  Array.from({ length: 8 }, (_, low) => low)
    .filter((low) => !(low & (1 << axis)))
    .map((low) => ({ low, high: low | (1 << axis), axis })),
);

/** Corners of the faces, counter-clockwise seen from outside. */
const FACES = [
  [0, 4, 6, 2],
  [1, 3, 7, 5],
  [0, 1, 5, 4],
  [2, 6, 7, 3],
  [0, 2, 3, 1],
  [4, 5, 7, 6],
] as const;

const edgeBetween = (a: number, b: number): number =>
  EDGES.findIndex(({ low, high }) => (low === a && high === b) || (low === b && high === a));

/**
 * A polygon of a case by the edges that it runs through, counter-clockwise seen from the greater values,
 * and the corner from which it is divided; −1 where that would double an edge on a face of the cube,
 * and a point in its middle serves.
 */
interface Polygon {
  edges: number[];
  apex: number;
}

/** By the corners below the level, as bits. */
const CASES: readonly Polygon[][] = Array.from({ length: 256 }, (_, mask) => {
  const next = new Map<number, number>();
  for (const face of FACES)
    face.forEach((corner, i) => {
      const before = face[(i + 3) % 4];
      const isBelow = (c: number) => (mask & (1 << c)) !== 0;
      if (!isBelow(corner) || isBelow(before)) return;
      // From where the walk around the face comes below the level to where it leaves again.
      let end = i;
      while (isBelow(face[(end + 1) % 4])) end++;
      next.set(edgeBetween(before, corner), edgeBetween(face[end % 4], face[(end + 1) % 4]));
    });
  const polygons: Polygon[] = [];
  while (next.size > 0) {
    const edges: number[] = [];
    let at = next.keys().next().value!;
    while (next.has(at)) {
      edges.push(at);
      const to = next.get(at)!;
      next.delete(at);
      at = to;
    }
    polygons.push({ edges, apex: edges.findIndex((_, apex) => isDividedFrom(edges, apex)) });
  }
  return polygons;
});

/** Whether no line from this corner of a polygon to another, but for its neighbours, lies in a face. */
function isDividedFrom(edges: readonly number[], apex: number): boolean {
  const facesOf = (edge: number) =>
    FACES.flatMap((face: readonly number[], f) =>
      face.includes(EDGES[edge].low) && face.includes(EDGES[edge].high) ? [f] : [],
    );
  const own = facesOf(edges[apex]);
  return edges.every((edge, i) => {
    const steps = (i - apex + edges.length) % edges.length;
    if (steps <= 1 || steps === edges.length - 1) return true;
    return !facesOf(edge).some((face) => own.includes(face));
  });
}
