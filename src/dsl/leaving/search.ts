import { isAllowed, nearestAllowed } from "./allowed.ts";
import type { FacingArea, Measured } from "./facing-area.ts";
import { binFacing, facingAlong, type Facing } from "./facing.ts";
import { bestPull, PULL_DEFAULTS, type PullOptimum, type PullProblem } from "./pull.ts";
import { squareDirections } from "./square.ts";
import { asinDeg, dot, type Vec3 } from "./vector.ts";
import { walk } from "./walk.ts";

export interface SearchOptions {
  /** Unit direction from the axis through the middle of the part: wins ties. */
  middle: Vec3;
  /** The clay that directions without draft are told apart by. Default the problem's own, each normal for 1 mm². */
  clay?: Facing;
  /** Area of it that faces wrongly along a direction, where it is known better than by its normals. */
  facing?: FacingArea;
  /**
   * Undercut area along a direction, mm², where the area that faces wrongly is not enough because
   * clay ahead also holds: never less than `facing`. Asked for a few directions only. Default the
   * area that faces wrongly.
   */
  undercut?: (m: Vec3) => number;
  /** The same in truth, where `undercut` is read from coarser facets: asked for the best of these alone. */
  truly?: (m: Vec3) => number;
}

export interface Candidate {
  /** How the direction was come by. */
  from: "exact" | "middle" | "square" | "upright" | "sweep" | "refined";
  direction: Vec3;
  /** mm². */
  undercutArea: number;
  /** Least draft, degrees; negative where clay faces wrongly. */
  draftDeg: number;
}

export interface ChosenPull extends Candidate {
  optimum: PullOptimum;
  /** What was looked at, best first. One entry where the optimum has draft. */
  candidates: Candidate[];
}

/** Undercuts that differ by less are equal, mm². */
const SAME_AREA = 1;
/** Least drafts that differ by less are equal, degrees. */
const SAME_DRAFT = 1e-4;
/** So many of the best are measured with rays. */
const MEASURED = 5;
/** Neighbours nearer to each other than this hold the same, and one of them is measured: the cosine of 1°. */
const SAME_DIRECTION = 1 - 1.5e-4;
/** Directions of the first look round. */
const SWEEP = 800;
/** Of these, so many are refined. */
const REFINED = 4;

/**
 * The pull of a part: the best pull where it has draft and meets no clay ahead. Else the direction
 * of least undercut area (to 1 mm²), among equals the one with the largest least draft, then the
 * one nearest to the middle of the part. Looked at are the middle itself, the directions square to
 * the normals that leave no draft, upright ones, and a sweep over all, of which the best are
 * refined. Null when slides and flanks allow no direction at all. Without clay: the middle.
 */
export function choosePull(problem: PullProblem, options: SearchOptions): ChosenPull | null {
  const optimum = bestPull(problem);
  const exact: Candidate | null = optimum.direction && {
    from: "exact",
    direction: optimum.direction,
    undercutArea: options.undercut?.(optimum.direction) ?? 0,
    draftDeg: asinDeg(optimum.t),
  };
  if (exact && exact.undercutArea > SAME_AREA && options.truly)
    exact.undercutArea = options.truly(exact.direction);
  if (exact && exact.undercutArea <= SAME_AREA) return { ...exact, optimum, candidates: [exact] };
  const middle = nearestAllowed(problem, options.middle);
  if (problem.clay.length === 0) {
    if (middle === null) return null;
    const only: Candidate = { from: "middle", direction: middle, undercutArea: 0, draftDeg: 90 };
    return { ...only, optimum, candidates: [only] };
  }
  const facing: Facing = options.clay ?? {
    normals: problem.clay,
    areas: new Float64Array(problem.clay.length / 3).fill(1),
  };
  const measure = (m: Vec3) => options.facing?.along(m) ?? facingAlong(facing, m);
  const candidate = (from: Candidate["from"], direction: Vec3, { area, least }: Measured): Candidate => ({
    from,
    direction,
    undercutArea: area,
    draftDeg: asinDeg(least),
  });
  const found: Candidate[] = [];
  const offer = (from: Candidate["from"], wanted: Vec3) => {
    const direction = nearestAllowed(problem, wanted);
    if (direction !== null) found.push(candidate(from, direction, measure(direction)));
  };
  offer("middle", options.middle);
  for (const wanted of squareDirections(problem, optimum.witnesses, middle ?? options.middle))
    offer("square", wanted);
  offer("upright", [0, 0, 1]);
  offer("upright", [0, 0, -1]);
  for (const direction of sweep(problem, facing, options.middle)) offer("sweep", direction);
  const starts = apart(ranked(found, options.middle), REFINED);
  for (const start of starts) {
    found.push(
      refine(problem, start, (cone) => {
        const near = options.facing?.within(cone) ?? measure;
        return (m) => candidate("refined", m, near(m));
      }),
    );
  }
  let candidates = ranked(found, options.middle);
  if (options.undercut !== undefined) {
    // The middle and what looks best by facing area alone are measured for what lies ahead too.
    // Where the best pull runs into clay ahead, so do its neighbours.
    const best = exact ? apart(candidates, MEASURED) : candidates.slice(0, MEASURED);
    const few = [...best, ...candidates.filter((c) => c.from === "middle")];
    const measured: Candidate[] = exact ? [exact] : [];
    let least = exact?.undercutArea ?? Infinity;
    for (const candidate of few) {
      // What is held is not less than what faces the wrong way; and neighbours hold the same.
      if (candidate.undercutArea > least + SAME_AREA) continue;
      if (measured.some(({ direction }) => dot(direction, candidate.direction) > SAME_DIRECTION)) continue;
      const undercutArea = options.undercut(candidate.direction);
      least = Math.min(least, undercutArea);
      measured.push({ ...candidate, undercutArea });
    }
    candidates = ranked(measured, options.middle);
    if (options.truly) candidates = ranked(settled(candidates, options.truly), options.middle);
  }
  if (candidates.length === 0) return null;
  return { ...candidates[0], optimum, candidates };
}

/** So many are measured in truth, and none that coarse facets give so much more than the least in truth: share and mm². */
const SETTLED = 3;
const MARGIN = { share: 1.15, area: 10 };

/** The best by coarse facets, with what they hold in truth. */
function settled(candidates: readonly Candidate[], truly: (m: Vec3) => number): Candidate[] {
  const found: Candidate[] = [];
  let least = Infinity;
  for (const candidate of candidates.slice(0, SETTLED)) {
    if (candidate.undercutArea > MARGIN.share * least + MARGIN.area) continue;
    const undercutArea = truly(candidate.direction);
    least = Math.min(least, undercutArea);
    found.push({ ...candidate, undercutArea });
  }
  return found;
}

/**
 * Best first: least undercut to 1 mm², then largest least draft, then nearest to `middle`. Equality
 * within 1 mm² is no order, so the best is picked and the rest follow by area.
 */
function ranked(candidates: readonly Candidate[], middle: Vec3): Candidate[] {
  if (candidates.length === 0) return [];
  const least = Math.min(...candidates.map((candidate) => candidate.undercutArea));
  const equal = candidates.filter((candidate) => candidate.undercutArea <= least + SAME_AREA);
  const draft = Math.max(...equal.map((candidate) => candidate.draftDeg));
  const best = equal
    .filter((candidate) => candidate.draftDeg >= draft - SAME_DRAFT)
    .reduce((a, b) => (dot(b.direction, middle) > dot(a.direction, middle) ? b : a));
  const rest = candidates.filter((candidate) => candidate !== best);
  rest.sort((a, b) => a.undercutArea - b.undercutArea || b.draftDeg - a.draftDeg);
  return [best, ...rest];
}

/**
 * The most promising of directions spread evenly over the sphere, or over the level circle, counted
 * from the middle of the part: a pot that is turned is looked at from the same sides.
 */
function sweep(problem: PullProblem, facing: Facing, middle: Vec3): Vec3[] {
  const level = problem.level ?? PULL_DEFAULTS.level;
  const bins = binFacing(facing);
  const start = Math.atan2(middle[1], middle[0]);
  const scored: { direction: Vec3; area: number; least: number }[] = [];
  for (let k = 0; k < SWEEP; k++) {
    const z = level ? 0 : 1 - (2 * k + 1) / SWEEP;
    // The golden angle spreads points evenly; on a circle equal steps do.
    const angle = start + (level ? (2 * Math.PI * k) / SWEEP : k * Math.PI * (3 - Math.sqrt(5)));
    const radius = Math.sqrt(1 - z * z);
    const direction: Vec3 = [radius * Math.cos(angle), radius * Math.sin(angle), z];
    if (isAllowed(problem, direction)) scored.push({ direction, ...facingAlong(bins, direction) });
  }
  scored.sort((a, b) => a.area - b.area || b.least - a.least);
  return apart(scored, 2 * REFINED).map(({ direction }) => direction);
}

/** Starts nearer to each other than this lead to the same place: the cosine of 8°. */
const APART = 0.99;

/** The first `count` that point in different directions, best first. */
function apart<T extends { direction: Vec3 }>(candidates: readonly T[], count: number): T[] {
  const chosen: T[] = [];
  for (const candidate of candidates) {
    if (chosen.every((one) => dot(one.direction, candidate.direction) < APART)) chosen.push(candidate);
    if (chosen.length === count) break;
  }
  return chosen;
}

/** Directions are walked to in steps of these sizes, degrees. */
const STEPS = [4, 2, 1, 0.5, 0.25, 0.125, 0.0625];
/** From this size on steps are short. Long ones are measured together as far as eight degrees, short ones as far as two. */
const SHORT = 0.5;
const LONG_CONE = 8;
const SHORT_CONE = 2;

/** Walks from `start` to a neighbour that is better, in ever smaller steps. */
function refine(
  problem: PullProblem,
  start: Candidate,
  measureWithin: (cone: number) => (direction: Vec3) => Candidate,
): Candidate {
  const [far, near] = [measureWithin(LONG_CONE), measureWithin(SHORT_CONE)];
  return walk(start, STEPS, (wanted, best, step) => {
    const direction = nearestAllowed(problem, wanted);
    const next = direction && (step > SHORT ? far : near)(direction);
    return next && isBetter(next, best) ? next : null;
  });
}

/** Areas that differ by less are equal to the walk, mm²: it looks closer than the choice does. */
const WALK_AREA = 0.25;

/** By area in small steps, then by draft: a strict order, so that the walk ends. */
function isBetter(a: Candidate, b: Candidate): boolean {
  const areas = Math.floor(a.undercutArea / WALK_AREA) - Math.floor(b.undercutArea / WALK_AREA);
  return areas < 0 || (areas === 0 && a.draftDeg > b.draftDeg + SAME_DRAFT);
}
