import type { Mesh } from "./mesh.ts";
import { boundsOf } from "./measure.ts";

/** Values on the points of a level grid, x fastest, then y, then z; mm. */
export interface Field {
  origin: [number, number, number];
  step: number;
  counts: [number, number, number];
  values: Float32Array;
  /** For each point a triangle that is nearest to it; −1 far from the surface. */
  nearest: Int32Array;
}

/** What of a distance is asked for. */
export interface FieldDemands {
  /** Between grid points, mm. */
  step: number;
  /** Distance at which the field is to be contoured, mm. */
  level: number;
  /** Which side of the surface is looked at. */
  side: "outside" | "inside";
  /** Heights between which the field is wanted, mm; it ends a little beyond them. */
  low: number;
  high: number;
}

/** More points than this would take longer than a maker waits; the grid is then coarser than asked. */
const MOST_POINTS = 12e6;

/**
 * Distance to the surface of a closed mesh on a grid around it, to be contoured at `level`: right
 * near that level, more than it further away. Looked at from outside it is 0 wherever the outside
 * does not reach without coming nearer than `level`: deep inside, and in hollows with a narrow mouth;
 * looked at from inside it is 0 outside.
 *
 * Each point near a triangle measures it; the nearest triangle is then handed on from point to
 * point, so that the work grows with the surface and not with the box.
 */
export function distanceField(mesh: Mesh, demands: FieldDemands): Field {
  const { level, side } = demands;
  let { step } = demands;
  const { min, max } = boundsOf(mesh);
  // Across, the outside goes around everything; up and down the field may end in the middle of the solid.
  const margin = level + 2 * step;
  const low = [min[0] - margin, min[1] - margin, Math.max(min[2] - margin, demands.low - 2 * step)];
  const high = [max[0] + margin, max[1] + margin, Math.min(max[2] + margin, demands.high + 2 * step)];
  const width = low.map((from, i) => high[i] - from);
  const asked = (width[0] / step) * (width[1] / step) * (width[2] / step);
  if (asked > MOST_POINTS) step *= Math.cbrt(asked / MOST_POINTS);
  const counts = width.map((w) => Math.ceil(w / step) + 1) as [number, number, number];
  const origin = low as [number, number, number];
  const [nx, ny, nz] = counts;
  const total = nx * ny * nz;
  const squared = new Float32Array(total).fill(Infinity);
  const nearest = new Int32Array(total).fill(-1);
  const measure = new TriangleDistance(mesh);
  const most = (level + 2 * step) ** 2;

  const touched: number[] = [];
  const offer = (i: number, j: number, k: number, t: number) => {
    const at = (k * ny + j) * nx + i;
    const d = Math.fround(
      measure.squared(t, origin[0] + i * step, origin[1] + j * step, origin[2] + k * step),
    );
    // A triangle without area may have no distance.
    if (!(d < squared[at])) return;
    if (nearest[at] < 0) touched.push(at);
    squared[at] = d;
    nearest[at] = t;
  };
  seed(mesh, origin, step, counts, offer);

  // Each point offers its triangle to its neighbours until none is nearer than what they have.
  let queue = touched;
  const waiting = new Uint8Array(total);
  while (queue.length > 0) {
    const next: number[] = [];
    for (const at of queue) {
      waiting[at] = 0;
      const t = nearest[at];
      const i = at % nx;
      const j = Math.floor(at / nx) % ny;
      const k = Math.floor(at / (nx * ny));
      for (let way = 0; way < 6; way++) {
        const [di, dj, dk] = SIDES[way];
        const [x, y, z] = [i + di, j + dj, k + dk];
        if (x < 0 || y < 0 || z < 0 || x >= nx || y >= ny || z >= nz) continue;
        const other = at + di + nx * (dj + ny * dk);
        if (nearest[other] === t) continue;
        // Rounded as it is kept: else two triangles that are equally near would take turns for ever.
        const d = Math.fround(
          measure.squared(t, origin[0] + x * step, origin[1] + y * step, origin[2] + z * step),
        );
        if (!(d < squared[other]) || d > most) continue;
        squared[other] = d;
        nearest[other] = t;
        if (waiting[other] === 0) {
          waiting[other] = 1;
          next.push(other);
        }
      }
    }
    queue = next;
  }

  const level2 = level * level;
  const outside = floodFromOutside(squared, counts, level2);
  const values = new Float32Array(total);
  for (let at = 0; at < total; at++) {
    const far = squared[at] >= level2;
    const wrong = far && (side === "outside") !== (outside[at] === 1);
    values[at] = wrong ? 0 : Math.sqrt(Math.min(squared[at], 4 * most));
  }
  return { origin, step, counts, values, nearest };
}

const SIDES = [
  [1, 0, 0],
  [-1, 0, 0],
  [0, 1, 0],
  [0, -1, 0],
  [0, 0, 1],
  [0, 0, -1],
] as const;

/** Offers each triangle to the grid points about it; large ones are gone through piece by piece. */
function seed(
  mesh: Mesh,
  origin: readonly number[],
  step: number,
  counts: readonly number[],
  offer: (i: number, j: number, k: number, triangle: number) => void,
): void {
  const { positions: p, triangles: t } = mesh;
  const large = 6 * step;
  const [bottom, top] = [origin[2] - step, origin[2] + counts[2] * step];
  const piece = (triangle: number, c: number[]): void => {
    if (Math.max(c[2], c[5], c[8]) < bottom || Math.min(c[2], c[5], c[8]) > top) return;
    const lengths = [0, 1, 2].map((e) => {
      const [a, b] = [3 * e, 3 * ((e + 1) % 3)];
      return Math.hypot(c[a] - c[b], c[a + 1] - c[b + 1], c[a + 2] - c[b + 2]);
    });
    const longest = Math.max(...lengths);
    if (longest > large) {
      const e = lengths.indexOf(longest);
      const [a, b, o] = [3 * e, 3 * ((e + 1) % 3), 3 * ((e + 2) % 3)];
      const m = [(c[a] + c[b]) / 2, (c[a + 1] + c[b + 1]) / 2, (c[a + 2] + c[b + 2]) / 2];
      piece(triangle, [...c.slice(a, a + 3), ...m, ...c.slice(o, o + 3)]);
      piece(triangle, [...m, ...c.slice(b, b + 3), ...c.slice(o, o + 3)]);
      return;
    }
    const range = [0, 1, 2].map((axis) => {
      const low = Math.min(c[axis], c[3 + axis], c[6 + axis]) - step;
      const high = Math.max(c[axis], c[3 + axis], c[6 + axis]) + step;
      return [
        Math.max(0, Math.ceil((low - origin[axis]) / step)),
        Math.min(counts[axis] - 1, Math.floor((high - origin[axis]) / step)),
      ];
    });
    for (let k = range[2][0]; k <= range[2][1]; k++)
      for (let j = range[1][0]; j <= range[1][1]; j++)
        for (let i = range[0][0]; i <= range[0][1]; i++) offer(i, j, k, triangle);
  };
  for (let f = 0; f < t.length; f += 3) {
    const corners: number[] = [];
    for (let v = f; v < f + 3; v++) corners.push(p[3 * t[v]], p[3 * t[v] + 1], p[3 * t[v] + 2]);
    piece(f / 3, corners);
  }
}

/** Marks the points that are further from the surface than the level and joined to the border of the grid. */
function floodFromOutside(squared: Float32Array, counts: readonly number[], level2: number): Uint8Array {
  const [nx, ny, nz] = counts;
  const layer = nx * ny;
  const outside = new Uint8Array(squared.length);
  // Each point is put there once.
  const stack = new Int32Array(squared.length);
  let height = 1;
  outside[0] = 1;
  const reach = (at: number) => {
    if (outside[at] || squared[at] < level2) return;
    outside[at] = 1;
    stack[height++] = at;
  };
  while (height > 0) {
    const at = stack[--height];
    const k = Math.floor(at / layer);
    const j = Math.floor((at - k * layer) / nx);
    const i = at - k * layer - j * nx;
    if (i + 1 < nx) reach(at + 1);
    if (i > 0) reach(at - 1);
    if (j + 1 < ny) reach(at + nx);
    if (j > 0) reach(at - nx);
    if (k + 1 < nz) reach(at + layer);
    if (k > 0) reach(at - layer);
  }
  return outside;
}

/**
 * Squared distance from a point to a triangle.
 * Source: Ericson, Real-Time Collision Detection (2005), 5.1.5.
 */
export class TriangleDistance {
  readonly #p: Float64Array;
  readonly #t: Uint32Array;

  constructor({ positions, triangles }: Mesh) {
    this.#p = positions;
    this.#t = triangles;
  }

  /** Of the point measured last, the nearest point of the triangle less that point. */
  readonly away: [number, number, number] = [0, 0, 0];

  squared(triangle: number, x: number, y: number, z: number): number {
    const p = this.#p;
    const t = this.#t;
    const a = 3 * t[3 * triangle];
    const b = 3 * t[3 * triangle + 1];
    const c = 3 * t[3 * triangle + 2];
    const abx = p[b] - p[a];
    const aby = p[b + 1] - p[a + 1];
    const abz = p[b + 2] - p[a + 2];
    const acx = p[c] - p[a];
    const acy = p[c + 1] - p[a + 1];
    const acz = p[c + 2] - p[a + 2];
    const apx = x - p[a];
    const apy = y - p[a + 1];
    const apz = z - p[a + 2];
    const d1 = abx * apx + aby * apy + abz * apz;
    const d2 = acx * apx + acy * apy + acz * apz;
    let v = 0;
    let w = 0;
    if (d1 > 0 || d2 > 0) {
      const ab2 = abx * abx + aby * aby + abz * abz;
      const ac2 = acx * acx + acy * acy + acz * acz;
      const abac = abx * acx + aby * acy + abz * acz;
      const d3 = d1 - ab2;
      const d4 = d2 - abac;
      const d5 = d1 - abac;
      const d6 = d2 - ac2;
      const vc = d1 * d4 - d3 * d2;
      const vb = d5 * d2 - d1 * d6;
      const va = d3 * d6 - d5 * d4;
      if (d3 >= 0 && d4 <= d3) v = 1;
      else if (vc <= 0 && d1 >= 0 && d3 <= 0) v = d1 / (d1 - d3);
      else if (d6 >= 0 && d5 <= d6) w = 1;
      else if (vb <= 0 && d2 >= 0 && d6 <= 0) w = d2 / (d2 - d6);
      else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
        w = (d4 - d3) / (d4 - d3 + d5 - d6);
        v = 1 - w;
      } else {
        const whole = va + vb + vc;
        v = vb / whole;
        w = vc / whole;
      }
    }
    const dx = apx - v * abx - w * acx;
    const dy = apy - v * aby - w * acy;
    const dz = apz - v * abz - w * acz;
    this.away[0] = 0 - dx;
    this.away[1] = 0 - dy;
    this.away[2] = 0 - dz;
    return dx * dx + dy * dy + dz * dz;
  }
}
