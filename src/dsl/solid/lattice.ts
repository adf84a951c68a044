import type { Mesh } from "./mesh.ts";
import type { TriangleDistance } from "./triangle-distance.ts";

/** Points of a level grid, numbered x fastest, then y, then z; mm. */
export interface Lattice {
  origin: readonly [number, number, number];
  step: number;
  counts: readonly [number, number, number];
}

/** For each point of a lattice a triangle that is nearest to it, and its distance squared, mm². */
export interface Nearest {
  squared: Float32Array;
  /** −1 where none is known; the distance is then infinite. */
  triangle: Int32Array;
}

export const pointCount = ({ counts: [nx, ny, nz] }: Lattice): number => nx * ny * nz;

export function nothingNear(count: number): Nearest {
  return { squared: new Float32Array(count).fill(Infinity), triangle: new Int32Array(count).fill(-1) };
}

const WAYS_X = [1, -1, 0, 0, 0, 0];
const WAYS_Y = [0, 0, 1, -1, 0, 0];
const WAYS_Z = [0, 0, 0, 0, 1, -1];

/** Calls `visit` with each neighbour of a point along the axes. */
export function eachNeighbour(
  { counts: [nx, ny, nz] }: Lattice,
  at: number,
  visit: (other: number, i: number, j: number, k: number) => void,
): void {
  const row = Math.floor(at / nx);
  const i = at - row * nx;
  const k = Math.floor(row / ny);
  const j = row - k * ny;
  for (let way = 0; way < 6; way++) {
    const x = i + WAYS_X[way];
    const y = j + WAYS_Y[way];
    const z = k + WAYS_Z[way];
    if (x < 0 || y < 0 || z < 0 || x >= nx || y >= ny || z >= nz) continue;
    visit((z * ny + y) * nx + x, x, y, z);
  }
}

/**
 * Hands the nearest triangle on from point to point until none is nearer than what its neighbours have,
 * so that the work grows with the surface and not with the box.
 *
 * @param from points that know a triangle
 * @param most not further than this, mm² from the surface
 * @param within points that may be given one; all of them by default
 */
export function handOn(
  lattice: Lattice,
  { squared, triangle }: Nearest,
  measure: TriangleDistance,
  from: number[],
  most: number,
  within?: Uint8Array,
): void {
  const { origin, step } = lattice;
  const [ox, oy, oz] = origin;
  const waiting = new Uint8Array(squared.length);
  let own = -1;
  let next: number[] = [];
  const offer = (other: number, i: number, j: number, k: number) => {
    if (triangle[other] === own || (within && within[other] === 0)) return;
    // Rounded as it is kept: else two triangles that are equally near would take turns for ever.
    const d = Math.fround(measure.squared(own, ox + i * step, oy + j * step, oz + k * step));
    // A triangle without area may have no distance.
    if (!(d < squared[other]) || d > most) return;
    squared[other] = d;
    triangle[other] = own;
    if (waiting[other] === 0) {
      waiting[other] = 1;
      next.push(other);
    }
  };
  for (let queue = from; queue.length > 0; queue = next) {
    next = [];
    for (const at of queue) {
      waiting[at] = 0;
      own = triangle[at];
      eachNeighbour(lattice, at, offer);
    }
  }
}

/**
 * Offers each triangle to the points about it, from places on it no further apart than a step. Gives the points that now
 * know a triangle; what of them is nearer to another is found by handing on.
 */
export function seed(
  lattice: Lattice,
  { squared, triangle: nearest }: Nearest,
  measure: TriangleDistance,
  { positions: p, triangles: t }: Mesh,
): number[] {
  const { origin, step, counts } = lattice;
  const touched: number[] = [];
  const offer = (triangle: number, i: number, j: number, k: number) => {
    if (i < 0 || j < 0 || k < 0 || i >= counts[0] || j >= counts[1] || k >= counts[2]) return;
    const at = (k * counts[1] + j) * counts[0] + i;
    if (nearest[at] === triangle) return;
    const d = Math.fround(
      measure.squared(triangle, origin[0] + i * step, origin[1] + j * step, origin[2] + k * step),
    );
    // A triangle without area may have no distance.
    if (!(d < squared[at])) return;
    if (nearest[at] < 0) touched.push(at);
    squared[at] = d;
    nearest[at] = triangle;
  };
  const offerAround = (triangle: number, x: number, y: number, z: number) => {
    const i = Math.floor((x - origin[0]) / step);
    const j = Math.floor((y - origin[1]) / step);
    const k = Math.floor((z - origin[2]) / step);
    if (k < -1 || k >= counts[2]) return;
    for (let c = 0; c < 8; c++) offer(triangle, i + (c & 1), j + ((c >> 1) & 1), k + (c >> 2));
  };
  for (let f = 0; f < t.length; f += 3) {
    const sides = [0, 1, 2].map((e) => {
      const [a, b] = [3 * t[f + e], 3 * t[f + ((e + 1) % 3)]];
      return Math.hypot(p[a] - p[b], p[a + 1] - p[b + 1], p[a + 2] - p[b + 2]);
    });
    // Rows from its longest side to the corner that lies opposite.
    const [shorter, middle, longest] = [...sides].sort((a, b) => a - b);
    const e = sides.indexOf(longest);
    const [a, b, c] = [3 * t[f + e], 3 * t[f + ((e + 1) % 3)], 3 * t[f + ((e + 2) % 3)]];
    const half = (shorter + middle + longest) / 2;
    const area = Math.sqrt(Math.max(0, half * (half - shorter) * (half - middle) * (half - longest)));
    const rows = Math.max(1, Math.ceil((2 * area) / longest / step)) || 1;
    for (let row = 0; row <= rows; row++) {
      const up = row / rows;
      const columns = Math.max(1, Math.ceil((longest * (1 - up)) / step));
      for (let column = 0; column <= columns; column++) {
        const along = (1 - up) * (column / columns);
        const first = 1 - up - along;
        offerAround(
          f / 3,
          first * p[a] + along * p[b] + up * p[c],
          first * p[a + 1] + along * p[b + 1] + up * p[c + 1],
          first * p[a + 2] + along * p[b + 2] + up * p[c + 2],
        );
      }
    }
  }
  return touched;
}
