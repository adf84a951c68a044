import { boundsOf } from "./measure.ts";
import type { Mesh } from "./mesh.ts";
import {
  eachNeighbour,
  handOn,
  nothingNear,
  pointCount,
  seed,
  type Lattice,
  type Nearest,
} from "./lattice.ts";
import { TriangleDistance } from "./triangle-distance.ts";

/** Values on those points of a lattice that lie about one level of them, mm. */
export interface Field extends Lattice {
  values: Float32Array;
  /** For each point that has a value a triangle that is nearest to it. */
  nearest: Int32Array;
  /**
   * The lattice in blocks of two cells along each axis, numbered like its points: 1 where the level may
   * run through. Their points have values, the others none that mean anything.
   */
  blocks: Uint8Array;
  blockCounts: readonly [number, number, number];
}

/** What of a distance is asked for. */
export interface FieldDemands {
  /** Between grid points, mm; never more than lets the two sides of the surface be told apart at the level. */
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

/** Most of a level that a step may be. */
const MOST_STEP = 0.8;

/**
 * Distance to the surface of a closed mesh on a grid around it, to be contoured at `level`. Looked at
 * from outside it is 0 wherever the outside does not reach without coming nearer than `level`: deep
 * inside, and in hollows with a narrow mouth; looked at from inside it is 0 outside.
 *
 * A lattice of double the step says first where the level can run at all: a distance changes by no more
 * than one goes. Only there it is measured in full.
 */
export function distanceField(mesh: Mesh, demands: FieldDemands): Field {
  const { level, side } = demands;
  const { coarse, fine } = latticesFor(mesh, demands);
  const measure = new TriangleDistance(mesh);
  const known = nothingNear(pointCount(coarse));
  // Within half a diagonal of some corner of its block lies each point of it.
  const within = (coarse.step * Math.sqrt(3)) / 2;
  handOn(coarse, known, measure, seed(coarse, known, measure, mesh), (level + within) ** 2);
  const blocks = blocksAbout(coarse, known.squared, level, within, side);
  const near = nothingNear(pointCount(fine));
  lookAtMiddles(coarse, known, fine, near, measure, blocks, level);

  const wanted = new Uint8Array(pointCount(fine));
  eachBlock(coarse, blocks, (i, j, k) => eachPointOf(fine, i, j, k, (at) => (wanted[at] = 1)));
  const start: number[] = [];
  eachShared(coarse, fine, (own, at) => {
    if (wanted[at] === 0 || known.triangle[own] < 0) return;
    near.squared[at] = known.squared[own];
    near.triangle[at] = known.triangle[own];
    start.push(at);
  });
  handOn(fine, near, measure, start, Infinity, wanted);
  let values = valuesOf(coarse, known, fine, near, wanted, demands);
  for (;;) {
    const missed = blocksBeside(coarse, fine, blocks, values, level);
    if (missed.length === 0) break;
    const from: number[] = [];
    for (const [i, j, k, block] of missed) {
      blocks[block] = 1;
      eachPointOf(fine, i, j, k, (at) => {
        wanted[at] = 1;
        if (near.triangle[at] >= 0) from.push(at);
      });
    }
    handOn(fine, near, measure, from, Infinity, wanted);
    values = valuesOf(coarse, known, fine, near, wanted, demands);
  }
  return {
    ...fine,
    values,
    nearest: near.triangle,
    blocks,
    blockCounts: coarse.counts,
  };
}

/** The distances of the points that are wanted, 0 where they are on the wrong side. */
function valuesOf(
  coarse: Lattice,
  known: Nearest,
  fine: Lattice,
  near: Nearest,
  wanted: Uint8Array,
  { level, side }: FieldDemands,
): Float32Array {
  const outside = floodFromOutside(coarse, known, fine, near, wanted, level * level);
  const values = new Float32Array(near.squared.length);
  for (let at = 0; at < values.length; at++) {
    if (wanted[at] === 0) continue;
    const far = near.squared[at] >= level * level;
    const wrong = far && (side === "outside") !== (outside[at] === 1);
    values[at] = wrong ? 0 : Math.sqrt(near.squared[at]);
  }
  return values;
}

/** The lattice that is contoured, and that of every other of its points. */
function latticesFor(mesh: Mesh, demands: FieldDemands): { coarse: Lattice; fine: Lattice } {
  const { level } = demands;
  let step = Math.min(demands.step, MOST_STEP * level);
  const { min, max } = boundsOf(mesh);
  // Across, the outside goes around everything; up and down the field may end in the middle of the solid.
  const margin = level + 2 * step;
  const low = [min[0] - margin, min[1] - margin, Math.max(min[2] - margin, demands.low - 2 * step)] as const;
  const high = [max[0] + margin, max[1] + margin, Math.min(max[2] + margin, demands.high + 2 * step)];
  const width = low.map((from, i) => high[i] - from);
  const asked = (width[0] / step) * (width[1] / step) * (width[2] / step);
  if (asked > MOST_POINTS) step *= Math.cbrt(asked / MOST_POINTS);
  const blocks = width.map((w) => Math.ceil(w / (2 * step)));
  const counts = (of: (n: number) => number) => blocks.map(of) as [number, number, number];
  return {
    coarse: { origin: low, step: 2 * step, counts: counts((n) => n + 1) },
    fine: { origin: low, step, counts: counts((n) => 2 * n + 1) },
  };
}

/** Calls `visit` with the number of each point of the coarse lattice, and that of the same point of the fine one. */
function eachShared(
  { counts: [nx, ny, nz] }: Lattice,
  fine: Lattice,
  visit: (own: number, at: number) => void,
): void {
  let own = 0;
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      const row = (2 * k * fine.counts[1] + 2 * j) * fine.counts[0];
      for (let i = 0; i < nx; i++, own++) visit(own, row + 2 * i);
    }
}

/** Blocks between the points of a lattice through which the level may run on the side that is looked at. */
function blocksAbout(
  lattice: Lattice,
  squared: Float32Array,
  level: number,
  within: number,
  side: "outside" | "inside",
): Uint8Array {
  const { step, counts } = lattice;
  const [nx, ny] = counts;
  // Of two neighbours on different sides of the surface one is no further from it than half a step.
  const between = 0.6 * step;
  const outside = new Uint8Array(squared.length);
  flood(lattice, 0, outside, (at) => squared[at] >= between * between);
  const low = Math.max(0, level - within) ** 2;
  const high = (level + within) ** 2;
  const isAbout = (at: number) => {
    const d = squared[at];
    if (d < low || d > high) return false;
    return d < between * between || (side === "outside") === (outside[at] === 1);
  };
  const blocks = new Uint8Array(squared.length);
  const about = new Uint8Array(squared.length);
  for (let at = 0; at < about.length; at++) if (isAbout(at)) about[at] = 1;
  const layer = nx * ny;
  eachBlock(lattice, null, (_i, _j, _k, at) => {
    const any =
      about[at] |
      about[at + 1] |
      about[at + nx] |
      about[at + nx + 1] |
      about[at + layer] |
      about[at + layer + 1] |
      about[at + layer + nx] |
      about[at + layer + nx + 1];
    if (any) blocks[at] = 1;
  });
  return blocks;
}

/** A distance found from the corners of a block may be too great by this share of a step. */
const SLACK = 0.2;

/** Measures the middle of each marked block by what its corners know, and unmarks those that the level cannot reach. */
function lookAtMiddles(
  coarse: Lattice,
  known: Nearest,
  fine: Lattice,
  near: Nearest,
  measure: TriangleDistance,
  blocks: Uint8Array,
  level: number,
): void {
  const [nx, ny] = coarse.counts;
  const { origin, step, counts } = fine;
  const within = step * (Math.sqrt(3) + SLACK);
  const corners = Array.from({ length: 8 }, (_, c) => (c & 1) + nx * (((c >> 1) & 1) + ny * (c >> 2)));
  eachBlock(coarse, blocks, (i, j, k, block) => {
    const [x, y, z] = [
      origin[0] + (2 * i + 1) * step,
      origin[1] + (2 * j + 1) * step,
      origin[2] + (2 * k + 1) * step,
    ];
    let least = Infinity;
    let best = -1;
    for (let c = 0; c < 8; c++) {
      const t = known.triangle[block + corners[c]];
      if (t < 0 || t === best) continue;
      const d = measure.squared(t, x, y, z);
      if (!(d < least)) continue;
      least = d;
      best = t;
    }
    if (Math.abs(Math.sqrt(least) - level) > within) {
      blocks[block] = 0;
      return;
    }
    const at = ((2 * k + 1) * counts[1] + 2 * j + 1) * counts[0] + 2 * i + 1;
    near.squared[at] = least;
    near.triangle[at] = best;
  });
}

/** Calls `visit` with the points of the fine lattice in a block and on its border. */
function eachPointOf(
  { counts }: Lattice,
  i: number,
  j: number,
  k: number,
  visit: (at: number) => void,
): void {
  for (let z = 2 * k; z <= 2 * k + 2; z++)
    for (let y = 2 * j; y <= 2 * j + 2; y++)
      for (let x = 2 * i; x <= 2 * i + 2; x++) visit((z * counts[1] + y) * counts[0] + x);
}

/**
 * Place and number of the blocks that are not marked though the level runs out of a marked one into them, as it
 * may where it only just touches one: without them the contour would have a hole there.
 */
function blocksBeside(
  coarse: Lattice,
  fine: Lattice,
  blocks: Uint8Array,
  values: Float32Array,
  level: number,
): [number, number, number, number][] {
  const { counts } = fine;
  const strides = [1, counts[0], counts[0] * counts[1]];
  const steps = [1, coarse.counts[0], coarse.counts[0] * coarse.counts[1]];
  const missed = new Map<number, [number, number, number, number]>();
  eachBlock(coarse, blocks, (i, j, k, block) => {
    const place = [i, j, k];
    const first = 2 * (i * strides[0] + j * strides[1] + k * strides[2]);
    for (let axis = 0; axis < 3; axis++) {
      const [u, v] = [strides[(axis + 1) % 3], strides[(axis + 2) % 3]];
      for (const way of [-1, 1]) {
        const to = place[axis] + way;
        const other = block + way * steps[axis];
        if (to < 0 || to > coarse.counts[axis] - 2 || blocks[other] === 1) continue;
        const corner = first + (way > 0 ? 2 * strides[axis] : 0);
        let below = 0;
        for (let a = 0; a < 3; a++)
          for (let b = 0; b < 3; b++) if (values[corner + a * u + b * v] < level) below++;
        if (below === 0 || below === 9) continue;
        const [x, y, z] = place.map((value, n) => (n === axis ? to : value));
        missed.set(other, [x, y, z, other]);
      }
    }
  });
  return [...missed.values()];
}

/** Calls `visit` with the place and the number of each block, or of each that is marked. */
function eachBlock(
  { counts: [nx, ny, nz] }: Lattice,
  marked: Uint8Array | null,
  visit: (i: number, j: number, k: number, at: number) => void,
): void {
  for (let k = 0; k + 1 < nz; k++)
    for (let j = 0; j + 1 < ny; j++)
      for (let i = 0, at = (k * ny + j) * nx; i + 1 < nx; i++, at++)
        if (!marked || marked[at] === 1) visit(i, j, k, at);
}

/** Marks what is joined to a point through points that are open. */
function flood(lattice: Lattice, from: number, reached: Uint8Array, isOpen: (at: number) => boolean): void {
  const stack = [from];
  reached[from] = 1;
  const reach = (at: number) => {
    if (reached[at] === 1 || !isOpen(at)) return;
    reached[at] = 1;
    stack.push(at);
  };
  while (stack.length > 0) eachNeighbour(lattice, stack.pop()!, reach);
}

/**
 * Marks the fine points that are further from the surface than the level and joined to the border of the
 * grid: far from the level along the coarse lattice, near it along the fine one.
 */
function floodFromOutside(
  coarse: Lattice,
  known: Nearest,
  fine: Lattice,
  near: Nearest,
  wanted: Uint8Array,
  level2: number,
): Uint8Array {
  const far = new Uint8Array(known.squared.length);
  const outside = new Uint8Array(near.squared.length);
  const isFar = (at: number) => known.squared[at] >= level2;
  const isOpen = (at: number) => wanted[at] === 1 && near.squared[at] >= level2;
  // A way that only the fine lattice knows may lead to where the coarse one has not been.
  let entries = [0];
  while (entries.length > 0) {
    for (const at of entries) if (far[at] === 0) flood(coarse, at, far, isFar);
    eachShared(coarse, fine, (own, at) => {
      if (far[own] === 1 && outside[at] === 0 && isOpen(at)) flood(fine, at, outside, isOpen);
    });
    entries = [];
    eachShared(coarse, fine, (own, at) => {
      if (outside[at] === 1 && far[own] === 0 && isFar(own)) entries.push(own);
    });
  }
  return outside;
}
