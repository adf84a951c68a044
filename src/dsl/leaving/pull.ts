import { leastBound, type Demand, type Support } from "./support.ts";
import { sinDeg, type Vec3 } from "./vector.ts";

/** What a part's pull must respect. Normals are unit vectors, xyz one after another, mold frame. */
export interface PullProblem {
  /** Outward surface normals of the clay that the part touches, at grid vertices. */
  clay: Float64Array;
  /**
   * Normals of plastic that is still in place, pointing into the part: it may slide along these
   * (a·m ≥ 0), also a table that the pot stands on. Default none.
   */
  slides?: Float64Array;
  /** Normals of key flanks, pointing into the part. Default none. */
  flanks?: Float64Array;
  /** Draft that flanks must have, degrees. Default 3. */
  flankDraft?: number;
  /** Pull level: m_z = 0. Default false. */
  level?: boolean;
}

/** A normal that holds the pull where it is. */
export interface Witness {
  kind: "clay" | "slide" | "flank" | "level";
  /** Number of the normal in its list; for `level` 0 is +z and 1 is −z. */
  index: number;
  weight: number;
}

export interface PullOptimum {
  /** Sine of the least draft; 0 where no direction has any; Infinity without clay. */
  t: number;
  /** Unit direction; null where no direction has draft, and without clay. */
  direction: Vec3 | null;
  witnesses: Witness[];
  certificate: {
    /** Σλ over the clay: 1. */
    clayWeight: number;
    /** |Σλn − (t + Σλ·flank margin)·m|: 0. */
    residual: number;
    /**
     * Least of n·m − t, a·m and f·m − margin: 0 where a direction was found. Without one 0 where the
     * witnesses add up to nothing, and below 0 where flanks leave no direction at all.
     */
    slack: number;
  };
}

export const PULL_DEFAULTS = { flankDraft: 3, level: false };

/** Below this a draft's sine is none. */
export const NO_DRAFT = 1e-9;
/** A demand missed by less than this is met. */
const MET = 1e-12;
/** Far more than any mold has taken; the answer is exact long before. */
const MOST_PASSES = 500;
/** Demands kept when one more alone does not lower the bound, which rounding can do. */
const MOST_KEPT = 12;

/**
 * The direction in which a part leaves with the most draft at its worst place: the largest t with
 * n·m ≥ t over the clay, a·m ≥ 0 over slides, f·m ≥ sin(flank draft) over flanks and |m| ≤ 1. Where
 * t > 0 the answer is exact and comes with the normals that hold it, three at most, and a
 * certificate that nothing does better. Where no direction has any draft, t is 0 and the witnesses
 * say why: their normals add up to nothing. Normals that are not unit vectors throw.
 *
 * t is the distance from the origin to the convex hull of the clay normals plus the cone of the
 * others. Demands are taken in one at a time, the one missed most, and each time the least of the
 * bounds that three of those at hand give is kept; the bound falls strictly, so this ends.
 */
export function bestPull(problem: PullProblem): PullOptimum {
  const { clay, slides, flanks } = problem;
  const level = problem.level ?? PULL_DEFAULTS.level;
  const least = sinDeg(problem.flankDraft ?? PULL_DEFAULTS.flankDraft);
  for (const normals of [clay, slides, flanks]) if (normals) checkUnit(normals);
  if (clay.length === 0)
    return {
      t: Infinity,
      direction: null,
      witnesses: [],
      certificate: { clayWeight: 0, residual: 0, slack: 0 },
    };

  const demand = (kind: Demand["kind"], normals: Float64Array, index: number): Demand => ({
    kind,
    index,
    x: normals[3 * index],
    y: normals[3 * index + 1],
    z: level ? 0 : normals[3 * index + 2],
    least: kind === "flank" ? least : 0,
  });
  let support = leastBound([], demand("clay", clay, farthestFromMean(clay)))!;
  let kept: Demand[] = support.demands;
  for (let pass = 0; pass < MOST_PASSES && support.bound > NO_DRAFT; pass++) {
    const m = directionOf(support);
    const missed = mostMissed(m, support.bound, clay, slides, flanks, least);
    if (missed.by <= MET) break;
    const newest = demand(
      missed.kind,
      missed.kind === "clay" ? clay : (missed.kind === "slide" ? slides : flanks)!,
      missed.index,
    );
    if (kept.some((other) => other.kind === newest.kind && other.index === newest.index)) break;
    const lower = leastBound(kept, newest);
    if (lower !== null && lower.bound < support.bound) {
      support = lower;
      kept = support.demands.filter((_, j) => support.weights[j] > 0);
    } else if (kept.length < MOST_KEPT) kept = [...kept, newest];
    else break;
  }
  return optimumOf(support, problem, least, level);
}

function checkUnit(normals: Float64Array): void {
  for (let i = 0; i < normals.length; i += 3) {
    const square = normals[i] ** 2 + normals[i + 1] ** 2 + normals[i + 2] ** 2;
    if (!(Math.abs(square - 1) < 1e-6))
      throw new RangeError(`normal ${i / 3} has length ${Math.sqrt(square)}; it must be 1`);
  }
}

function directionOf({ x, y, z }: Support): Vec3 {
  const length = Math.sqrt(x * x + y * y + z * z);
  return [x / length, y / length, z / length];
}

/** A good first guess at what holds the pull; any would do. */
function farthestFromMean(normals: Float64Array): number {
  let [x, y, z] = [0, 0, 0];
  for (let i = 0; i < normals.length; i += 3) {
    x += normals[i];
    y += normals[i + 1];
    z += normals[i + 2];
  }
  return lowest(normals, x, y, z).index;
}

function lowest(normals: Float64Array, x: number, y: number, z: number): { index: number; value: number } {
  let at = 0;
  let value = Infinity;
  for (let i = 0; i < normals.length; i += 3) {
    const here = normals[i] * x + normals[i + 1] * y + normals[i + 2] * z;
    if (here < value) {
      value = here;
      at = i;
    }
  }
  return { index: at / 3, value };
}

function mostMissed(
  m: Vec3,
  t: number,
  clay: Float64Array,
  slides: Float64Array | undefined,
  flanks: Float64Array | undefined,
  least: number,
): { kind: Demand["kind"]; index: number; by: number } {
  const worst = lowest(clay, ...m);
  let missed: { kind: Demand["kind"]; index: number; by: number } = {
    kind: "clay",
    index: worst.index,
    by: t - worst.value,
  };
  for (const [kind, normals, margin] of [
    ["slide", slides, 0],
    ["flank", flanks, least],
  ] as const) {
    if (!normals?.length) continue;
    const { index, value } = lowest(normals, ...m);
    if (margin - value > missed.by) missed = { kind, index, by: margin - value };
  }
  return missed;
}

function optimumOf(support: Support, problem: PullProblem, least: number, level: boolean): PullOptimum {
  const witnesses: Witness[] = [];
  let [x, y, z, clayWeight, margin] = [0, 0, 0, 0, 0];
  support.demands.forEach(({ kind, index, least: demanded }, j) => {
    const weight = support.weights[j];
    if (weight === 0) return;
    const normals = (kind === "clay" ? problem.clay : kind === "slide" ? problem.slides : problem.flanks)!;
    x += weight * normals[3 * index];
    y += weight * normals[3 * index + 1];
    z += weight * normals[3 * index + 2];
    if (kind === "clay") clayWeight += weight;
    margin += weight * demanded;
    witnesses.push({ kind, index, weight });
  });
  if (level && z !== 0) {
    witnesses.push({ kind: "level", index: z < 0 ? 0 : 1, weight: Math.abs(z) });
    z = 0;
  }
  if (support.bound <= NO_DRAFT) {
    const residual = Math.max(0, Math.hypot(x, y, z) - margin);
    return { t: 0, direction: null, witnesses, certificate: { clayWeight, residual, slack: 0 } };
  }
  const m = directionOf(support);
  const t = support.bound;
  const slack = -mostMissed(m, t, problem.clay, problem.slides, problem.flanks, least).by;
  // Flanks that no direction suits: there is then no least bound to stop at.
  if (slack < -NO_DRAFT)
    return { t: 0, direction: null, witnesses, certificate: { clayWeight, residual: 0, slack } };
  const residual = Math.hypot(x - (t + margin) * m[0], y - (t + margin) * m[1], z - (t + margin) * m[2]);
  return { t, direction: m, witnesses, certificate: { clayWeight, residual, slack } };
}
