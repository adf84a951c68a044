import { bestPull, PULL_DEFAULTS, type PullProblem } from "./pull.ts";
import { sinDeg, type Vec3 } from "./vector.ts";

/** A slide or a flank is kept when it is missed by less than this, sine. */
const KEPT = 1e-9;

/** Whether `m` is level where that is asked, and keeps to the slides and flanks. */
export function isAllowed(problem: PullProblem, m: Vec3): boolean {
  if ((problem.level ?? PULL_DEFAULTS.level) && Math.abs(m[2]) > KEPT) return false;
  const least = sinDeg(problem.flankDraft ?? PULL_DEFAULTS.flankDraft);
  return keeps(problem.slides, m, 0) && keeps(problem.flanks, m, least);
}

function keeps(normals: Float64Array | undefined, m: Vec3, least: number): boolean {
  if (normals === undefined) return true;
  for (let i = 0; i < normals.length; i += 3)
    if (normals[i] * m[0] + normals[i + 1] * m[1] + normals[i + 2] * m[2] < least - KEPT) return false;
  return true;
}

/**
 * The allowed direction nearest to `m` (a unit vector), or null when the slides and flanks turn it
 * away altogether. The best pull of a part whose only clay faces along `m` is that direction.
 */
export function nearestAllowed(problem: PullProblem, m: Vec3): Vec3 | null {
  if (isAllowed(problem, m)) return m;
  return bestPull({ ...problem, clay: Float64Array.from(m) }).direction;
}
