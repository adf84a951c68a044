import { isAllowed, nearestAllowed } from "../leaving/allowed.ts";
import { leastDraft } from "../leaving/draft.ts";
import { bestPull, type PullProblem } from "../leaving/pull.ts";
import { measureUndercut } from "../leaving/undercut.ts";
import { asinDeg, dot } from "../leaving/vector.ts";
import { walk } from "../leaving/walk.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { Vec3 } from "./model.ts";
import { faceNormals } from "./seam-normals.ts";
import { SeamShare, type FacingMeasure } from "./seam-share.ts";
import type { SeamTrial } from "./seam-trial.ts";
import type { SeamPlan } from "./seams.ts";

export interface JudgeOptions {
  /** Pull level only. */
  level: boolean;
  /** 1 for a pot opened standing on its foot, −1 on its rim. */
  up: 1 | -1;
  /** How far flanges reach beyond the clay, mm. */
  reach: number;
}

/** How a mold with these seams opens. */
export interface Judged {
  plans: readonly SeamPlan[];
  /** Area that faces the wrong way, mm², all parts together: the undercut is at least this. */
  facing: number;
  /** Least draft of all parts, degrees. */
  draftDeg: number;
  /** With what its neighbours that are still there leave each part. */
  parts: JudgedPart[];
  /** Each part is the one before it, turned on by an equal share of the round. */
  alike: boolean;
}

interface JudgedPart {
  share: SeamShare;
  direction: Vec3;
  problem: PullProblem;
}

interface Pull {
  problem: PullProblem;
  direction: Vec3;
  area: number;
  draftDeg: number;
}

/** A direction is walked to in steps of these sizes, degrees. */
const LONG_STEPS = [4, 2];
const SHORT_STEPS = [1, 0.5, 0.25, 0.125];
/** Directions of long steps and of short ones are measured together as far as this, degrees. */
const WIDE = 10;
const NARROW = 3;
/** So many walks are finished. */
const FINISHED = 2;

/** Judges where seams stand by the surface between them, one part after another as the mold opens. */
export class SeamJudge {
  readonly trial: SeamTrial;
  readonly #options: JudgeOptions;
  #solid: Mesh | null = null;

  constructor(trial: SeamTrial, options: JudgeOptions) {
    this.trial = trial;
    this.#options = options;
  }

  /**
   * The seams as they stand, without looking for clay ahead. `seeds` gives for a part the directions
   * worth trying, the most promising first.
   *
   * @param alike whether the form's symmetry turns each part into the next: one is judged for all then
   */
  judge(plans: readonly SeamPlan[], seeds: (part: number) => readonly Vec3[], alike: boolean): Judged {
    return this.#open(plans, alike, (problem, share, part, earlier) =>
      this.#pull(problem, share, () => seeds(part), earlier),
    );
  }

  /** Seams not far from others that were judged: each pull is looked for near the one that it was there. */
  follow(plans: readonly SeamPlan[], { parts, alike }: Judged): Judged {
    return this.#open(plans, alike, (problem, share, part) =>
      followed(problem, share, parts[part].direction),
    );
  }

  #open(
    plans: readonly SeamPlan[],
    alike: boolean,
    pullOf: (problem: PullProblem, share: SeamShare, part: number, earlier: Vec3 | null) => Pull,
  ): Judged {
    const { trial } = this;
    const traces = plans.map((plan) => trial.trace(plan));
    const faces = traces.map((us) => faceNormals(trial, us, this.#options.reach));
    const count = plans.length;
    const shares = traces.map((us, i) => new SeamShare(trial, us, traces[(i + 1) % count]));
    const left = new Set(plans.keys());
    const parts = new Array<Judged["parts"][number]>(count);
    const known = new Map<string, { pull: Pull; part: number }>();
    const latest = new Array<Vec3 | null>(count).fill(null);
    let facing = 0;
    let draftDeg = 90;
    while (left.size > 0) {
      let best: { part: number; pull: Pull } | null = null;
      for (const part of left) {
        const before = count > 1 && left.has((part + count - 1) % count);
        const after = count > 1 && left.has((part + 1) % count);
        const key = alike ? `${before} ${after}` : `${part} ${before} ${after}`;
        const slides = [0, 0, this.#options.up as number];
        if (before) slides.push(...faces[part]);
        if (after) slides.push(...faces[(part + 1) % count].map((value) => -value));
        const { level } = this.#options;
        const problem = { clay: shares[part].normals, slides: Float64Array.from(slides), level };
        let one = known.get(key);
        if (!one) known.set(key, (one = { pull: pullOf(problem, shares[part], part, latest[part]), part }));
        const turned = turnedBy(one.pull.direction, (part - one.part) / count);
        const pull = one.part === part ? one.pull : { ...one.pull, problem, direction: turned };
        latest[part] = pull.direction;
        if (!best || isBetter(pull, best.pull)) best = { part, pull };
      }
      const { part, pull } = best!;
      parts[part] = { share: shares[part], direction: pull.direction, problem: pull.problem };
      facing += pull.area;
      draftDeg = Math.min(draftDeg, pull.draftDeg);
      left.delete(part);
    }
    return { plans, facing, draftDeg, parts, alike };
  }

  /** Undercut area with the clay ahead counted, mm². */
  undercut(judged: Judged): number {
    const solid = (this.#solid ??= this.trial.solid());
    const areas = eachAlike(
      judged,
      ({ share, direction }) => measureUndercut(solid, share.facets, direction).areaMm2,
    );
    return areas.reduce((sum, { found }) => sum + found, 0);
  }

  /**
   * The same seams with pulls that hold less clay once what lies ahead is counted; `facing` is then the whole
   * undercut.
   */
  polish(judged: Judged): Judged {
    const solid = (this.#solid ??= this.trial.solid());
    const all = eachAlike(judged, ({ share, direction, problem }) => {
      const facets = share.facets;
      const area = (m: Vec3) => measureUndercut(solid, facets, m).areaMm2;
      return polished(problem, direction, area);
    });
    let facing = 0;
    let draftDeg = 90;
    const parts = judged.parts.map((part, i) => {
      const { found, turn } = all[i];
      const direction = turnedBy(found.direction, turn);
      facing += found.area;
      draftDeg = Math.min(draftDeg, leastDraft(part.share.normals, direction));
      return { ...part, direction };
    });
    return { ...judged, facing, draftDeg, parts };
  }

  /** @param earlier the pull that was found while more neighbours were there */
  #pull(problem: PullProblem, share: SeamShare, seeds: () => readonly Vec3[], earlier: Vec3 | null): Pull {
    const optimum = bestPull(problem);
    if (optimum.direction !== null)
      return { problem, direction: optimum.direction, area: 0, draftDeg: asinDeg(optimum.t) };
    const middle = middleOf(share);
    const starts = earlier
      ? startsFor(problem, earlier, seeds().slice(0, 1))
      : startsFor(problem, middle, seeds());
    if (starts.length === 0) return noPull(problem, share, middle);
    const begun = starts.map((start) => {
      const facing = share.facingWithin(WIDE);
      return walkOn(problem, { start, facing, direction: start, area: facing(start) }, LONG_STEPS);
    });
    // Only the most promising are walked to their end.
    begun.sort((a, b) => a.area - b.area);
    const walked = begun
      .slice(0, FINISHED)
      .map((one) => walkOn(problem, { ...one, facing: share.facingWithin(NARROW) }, SHORT_STEPS));
    const { direction, area } = walked.reduce((a, b) => (b.area < a.area - WALK ? b : a));
    return { problem, direction, area, draftDeg: leastDraft(share.normals, direction) };
  }
}

/** A direction turned about the upright axis by a share of the round. */
function turnedBy([x, y, z]: Vec3, share: number): Vec3 {
  if (share === 0) return [x, y, z];
  const [c, s] = [Math.cos(2 * Math.PI * share), Math.sin(2 * Math.PI * share)];
  return [c * x - s * y, s * x + c * y, z];
}

/** Directions nearer to each other than this, cosine, are the same. */
const SAME = 1 - 1e-9;

/** What is found of each part, or of an earlier one that it is alike and that is drawn the same way, with the turn from there. */
function eachAlike<T>({ parts, alike }: Judged, find: (part: JudgedPart) => T): { found: T; turn: number }[] {
  const known: { found: T; direction: Vec3; part: number }[] = [];
  return parts.map((part, i) => {
    const own = alike
      ? known.find(
          (one) => dot(turnedBy(one.direction, (i - one.part) / parts.length), part.direction) > SAME,
        )
      : undefined;
    if (own) return { found: own.found, turn: (i - own.part) / parts.length };
    const found = find(part);
    known.push({ found, direction: part.direction, part: i });
    return { found, turn: 0 };
  });
}

/** Plastic that leaves no direction at all: the middle stands for how bad it is. */
function noPull(problem: PullProblem, share: SeamShare, middle: Vec3): Pull {
  return { problem, direction: middle, area: share.facingWithin(NARROW)(middle), draftDeg: -90 };
}

function followed(problem: PullProblem, share: SeamShare, near: Vec3): Pull {
  const optimum = bestPull(problem);
  if (optimum.direction !== null)
    return { problem, direction: optimum.direction, area: 0, draftDeg: asinDeg(optimum.t) };
  const start = nearestAllowed(problem, near);
  if (start === null) return noPull(problem, share, middleOf(share));
  const facing = share.facingWithin(NARROW);
  const begun = { start, facing, direction: start, area: facing(start) };
  const { direction, area } = walkOn(problem, begun, SHORT_STEPS);
  return { problem, direction, area, draftDeg: leastDraft(share.normals, direction) };
}

/** Starts nearer to each other than this end in the same place: the cosine of 12°. */
const APART = 0.978;
/** So many of the directions that the slides allow are walked from, besides the middle. */
const WALKED = 3;

/** Where to walk from: the middle, the most promising direction, both as near as the slides allow, and others that they allow. */
function startsFor(problem: PullProblem, middle: Vec3, seeds: readonly Vec3[]): Vec3[] {
  const starts: Vec3[] = [];
  const add = (direction: Vec3 | null) => {
    if (direction !== null && starts.every((one) => dot(one, direction) < APART)) starts.push(direction);
  };
  add(nearestAllowed(problem, middle));
  if (seeds.length > 0) add(nearestAllowed(problem, seeds[0]));
  const most = starts.length + WALKED;
  for (const seed of seeds) {
    if (starts.length === most) break;
    if (isAllowed(problem, seed)) add(seed);
  }
  return starts;
}

/** A walk under way: where it began, its measure of area, and the best direction so far. */
interface Walk {
  start: Vec3;
  facing: FacingMeasure;
  direction: Vec3;
  area: number;
}

/** To the direction near by with the least area, at most 20° from where it began. */
function walkOn(problem: PullProblem, begun: Walk, steps: readonly number[]): Walk {
  const { start, facing } = begun;
  return walk(begun, steps, (wanted, best) => {
    if (best.area === 0) return null;
    const direction = isAllowed(problem, wanted) ? wanted : nearestAllowed(problem, wanted);
    if (direction === null || dot(direction, start) < FAR) return null;
    const area = facing(direction, best.area - WALK);
    return area < best.area - WALK ? { start, facing, direction, area } : null;
  });
}

/** Cosine of 20°. */
const FAR = 0.94;
/** A step must gain this much, mm², so that the walk ends. */
const WALK = 0.02;

/** Less area to 1 mm², then more draft; ties go to the part that comes first. */
function isBetter(a: Pull, b: Pull): boolean {
  if (Math.abs(a.area - b.area) > 1) return a.area < b.area;
  return a.draftDeg > b.draftDeg + 1e-3;
}

/** Steps in which a pull is moved while rays are counted, degrees. */
const POLISH = [0.4];
/** A pull that is walked to its best needs few moves more. */
const MOST_MOVES = 8;
/** An undercut is looked at no closer than this, mm². */
const POLISHED = 0.2;

function polished(
  problem: PullProblem,
  from: Vec3,
  areaOf: (m: Vec3) => number,
): { direction: Vec3; area: number } {
  let moves = 0;
  return walk({ direction: from, area: areaOf(from) }, POLISH, (wanted, best) => {
    if (moves === MOST_MOVES || best.area <= POLISHED) return null;
    const direction = nearestAllowed(problem, wanted);
    if (direction === null || dot(direction, best.direction) > STILL) return null;
    const area = areaOf(direction);
    if (area >= best.area - POLISHED) return null;
    moves++;
    return { direction, area };
  });
}

/** A direction nearer to another than this, cosine, is the same: the slides allow no step that way. */
const STILL = 1 - 1e-8;

/** Level direction from the axis through the middle of the part, half-way up. */
function middleOf({ trial, from, to }: SeamShare): Vec3 {
  const j = trial.zs.length >> 1;
  const z = trial.zs[j];
  const c = trial.form.centre(z);
  const at = (u: number) => {
    const p = trial.form.column(u).at(z);
    return Math.atan2(p.y - c.y, p.x - c.x);
  };
  const start = at(from[j]);
  let span = at(to[j]) - start;
  while (span <= 1e-9) span += 2 * Math.PI;
  return [Math.cos(start + span / 2), Math.sin(start + span / 2), 0];
}
