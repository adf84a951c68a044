import type { Form } from "../form/form.ts";
import { createHash } from "node:crypto";
import { dot } from "../leaving/vector.ts";
import { SeamJudge, type Judged, type JudgeOptions } from "./seam-judge.ts";
import { evenSeams, highLines, planSeams, type Cut } from "./seam-plan.ts";
import { turnSymmetry } from "./seam-symmetry.ts";
import { PLACES, SeamTable } from "./seam-table.ts";
import { COARSE, SeamTrial } from "./seam-trial.ts";
import { polarAngle, uAtAngle, type SeamPlan } from "./seams.ts";

/** Undercut areas that differ by less are equal, mm². */
const SAME_AREA = 1;
/** Drafts nearer to each other than this, degrees, are equal. */
const SAME_DRAFT = 0.05;
/** Of the places around the form, so many are judged by the surface itself. */
const JUDGED = 4;
/** Of these, so many are moved to where they are best. */
const MOVED = 2;
/** Where the first so many that are judged all hold more than this, mm², to pulls that rise little, steep ones are tried. */
const HOPED = 2;
const HOPELESS = 100;
/** Places are moved in steps of these, degrees. */
const STEPS = [2, 0.5, 0.25, 0.1];
/** The same where clay is held whatever is done, and rays look closer afterwards. */
const HELD_STEPS = [2, 0.5];
/** The same once rays are counted, which takes longer. */
const RAY_STEPS = [1.5, 0.5, 0.15];
/** So many places are looked at with rays in all: on a form full of shadows each takes as long as a search. */
const MOST_RAYS = 10;
/** Over smaller steps than this, degrees, the pulls stay near where they were. */
const FOLLOWED_STEP = 1;
/** Pulls nearer to each other than this are one: the cosine of 0.1°. */
const SAME_PULL = 1 - 1.5e-6;
/** Places nearer to each other than this, degrees, are walked to from one another. */
const SAME_PLACE = 6;
/** A place that leaves more than this many times the least is not moved. */
const WORTH_MOVING = 1.2;
/** With this draft a part drags nowhere, degrees; clay in plastic wants 3 to 5 (practice). */
const ENOUGH_DRAFT = 10;
/** Seams that stand so near to equal shares of the round, degrees, are even. */
const EVEN = 1e-6;
/** So many are at most verified with rays through the clay. */
const VERIFIED = 3;

/** Where the seams are best, with what they leave. */
export interface BestSeams {
  plans: readonly SeamPlan[];
  /** mm², all parts together, clay ahead counted. */
  undercutMm2: number;
  draftDeg: number;
  /** Whether the first seam stands on a corner or crest. */
  onLine: boolean;
  /** Whether the first seam tells where the others are; else all stand on corners or crests of their own. */
  even: boolean;
}

const found = new Map<string, readonly SeamPlan[]>();
/** Forms whose best seams are remembered: an edit that leaves the form alone need not search again. */
const REMEMBERED = 16;

/** The best seams of a form for a cut; remembered by the form's own points. */
export function planBest(form: Form, cut: Cut, options: JudgeOptions): readonly SeamPlan[] {
  const search = new SeamSearch(form, options);
  const key = JSON.stringify([search.fingerprint, cut.parts, cut.follow, options]);
  let plans = found.get(key);
  if (!plans) {
    plans = search.best(cut).plans;
    if (found.size >= REMEMBERED) found.delete(found.keys().next().value!);
    found.set(key, plans);
  }
  return plans;
}

/** A place for the first seam, degrees: along u for seams with the form, polar angle for flat ones. */
interface Start {
  degrees: number;
  plans: readonly SeamPlan[];
  onLine: boolean;
  even: boolean;
}

/** Judged with rays through the clay: `facing` is then the whole undercut. */
type Verified = Start & Judged;

/** Looks for the best seams of one form; what does not depend on the cut is computed once. */
export class SeamSearch {
  readonly #form: Form;
  readonly #options: JudgeOptions;
  readonly #trial: SeamTrial;
  readonly #coarse: SeamTrial;
  readonly #judge: SeamJudge;
  readonly #symmetry: number;
  readonly #tables = new Map<string, SeamTable>();
  /** How often seams may still be moved by rays. */
  #raysLeft = 0;

  constructor(form: Form, options: JudgeOptions) {
    this.#form = form;
    this.#options = options;
    this.#trial = new SeamTrial(form);
    this.#coarse = new SeamTrial(form, COARSE);
    this.#judge = new SeamJudge(this.#trial, options);
    this.#symmetry = turnSymmetry(this.#trial);
  }

  /** Tells the surface from any other. */
  get fingerprint(): string {
    const { x, y, zs, normals } = this.#trial;
    const hash = createHash("sha256");
    for (const values of [x, y, zs, normals]) hash.update(values);
    return hash.digest("hex");
  }

  /**
   * The seams that leave the least undercut area, then the largest least draft, then stand on corners
   * or crests, then come first. All places around the form are compared by a table of areas, the best
   * of them and all corners and crests by the surface between the seams, and the best of those with
   * rays through the clay, as far as they could still be better.
   *
   * @param closely whether seams and pulls that still hold clay are moved by rays to where they hold the
   *   least; without it what is held is told to a few mm²
   */
  best(cut: Cut, closely = true): BestSeams {
    const level = this.#look(cut, false);
    const steep = level === null || level[0].facing > SAME_AREA;
    const judged = steep ? this.#look(cut, true)! : level;
    // Draft enough is not worth a longer look.
    const sound = judged[0].facing <= SAME_AREA && judged[0].draftDeg > ENOUGH_DRAFT;
    const steps = sound ? [1] : closely && judged[0].facing > SAME_AREA ? HELD_STEPS : STEPS;
    const moved = unlike(judged, cut.parts)
      .slice(0, sound ? 1 : MOVED)
      .flatMap((one) => this.#move(one, cut, steps, (plans) => this.#judgeOf(plans, steep)));
    const verified: Verified[] = [];
    let least = Infinity;
    for (const one of apart(ranked([...judged, ...moved]), cut.parts)) {
      // An undercut is not less than what faces the wrong way, and nothing beats none.
      if (verified.length >= VERIFIED || least <= SAME_AREA) break;
      if (one.facing > least + SAME_AREA) continue;
      const undercut = this.#judge.undercut(one);
      least = Math.min(least, undercut);
      verified.push({ ...one, facing: undercut });
    }
    // What faces the wrong way is least in one place and what rays find in another near by.
    if (closely && least > SAME_AREA) {
      this.#raysLeft = MOST_RAYS;
      const worth = ranked(verified).filter(({ even, facing }) => even && facing < least * WORTH_MOVING);
      const turn = 360 / cut.parts;
      const starts: Verified[] = [];
      for (const one of worth) {
        const beside = ({ degrees }: Start) => {
          const off = Math.abs(one.degrees - degrees) % turn;
          return Math.min(off, turn - off) < SAME_PLACE;
        };
        if (starts.length < MOVED && !starts.some(beside)) starts.push(one);
      }
      const ends = starts.flatMap((one) =>
        this.#move(one, cut, RAY_STEPS, (plans, before, step) => this.#beside(plans, before, step, steep)),
      );
      verified.push(...ends);
    }
    let [best] = ranked(verified);
    if (closely && best.facing > SAME_AREA) best = { ...best, ...this.#judge.polish(best) };
    const { facing, draftDeg, onLine, even } = best;
    return { plans: this.#complete(best, cut), undercutMm2: facing, draftDeg, onLine, even };
  }

  /** Seams a step away from others, with the clay ahead counted: by the pulls near by or, if that is better, anew. */
  #beside(plans: readonly SeamPlan[], before: Judged, step: number, steep: boolean): Judged {
    // Rays are only sent where they may find less.
    const counted = (judged: Judged): Judged => {
      if (judged.facing >= before.facing + GAIN.area) return judged;
      return { ...judged, facing: this.#raysLeft-- > 0 ? this.#judge.undercut(judged) : Infinity };
    };
    const near = this.#judge.follow(plans, before);
    if (step < FOLLOWED_STEP) return counted(near);
    const anew = this.#judgeOf(plans, steep);
    const same = anew.parts.every(({ direction }, i) => dot(direction, near.parts[i].direction) > SAME_PULL);
    const [one, other] = [counted(near), same ? null : counted(anew)];
    return other && improves(other, one) ? other : one;
  }

  /** What seams in given places leave. */
  measure(plans: readonly SeamPlan[]): { undercutMm2: number; draftDeg: number } {
    let judged = this.#judgeOf(plans, false);
    if (judged.facing > SAME_AREA) judged = this.#judgeOf(plans, true);
    return { undercutMm2: this.#judge.undercut(judged), draftDeg: judged.draftDeg };
  }

  #table(follow: Cut["follow"], steep: boolean): SeamTable {
    const key = `${follow} ${steep}`;
    let table = this.#tables.get(key);
    if (!table) {
      const nearlyLevel = steep ? this.#table(follow, false) : null;
      this.#tables.set(key, (table = new SeamTable(this.#coarse, follow, this.#options, nearlyLevel)));
    }
    return table;
  }

  /** The most promising places, judged, best first; null where only steeper pulls could be worth it. */
  #look(cut: Cut, steep: boolean): (Start & Judged)[] | null {
    const judged: (Start & Judged)[] = [];
    for (const start of this.#candidates(cut, steep)) {
      judged.push({ ...start, ...this.#judgeOf(start.plans, steep) });
      if (!steep && judged.length === HOPED && judged.every(({ facing }) => facing > HOPELESS)) return null;
    }
    return ranked(judged);
  }

  #judgeOf(plans: readonly SeamPlan[], steep: boolean): Judged {
    const table = this.#table(plans[0].follow, steep);
    const seeds = (part: number) => {
      const from = placeOf(plans[part]);
      const to = placeOf(plans[(part + 1) % plans.length]);
      const places = Math.round((((to - from) % PLACES) + PLACES) % PLACES || PLACES);
      const place = Math.floor(from) % PLACES;
      return [table.best(place, places).direction, ...table.byArea(place, places)];
    };
    return this.#judge.judge(plans, seeds, this.#areAlike(plans));
  }

  /** Whether the form's symmetry turns each part between these seams into the next. */
  #areAlike(plans: readonly SeamPlan[]): boolean {
    const count = plans.length;
    const isTurned = this.#symmetry === Infinity || this.#symmetry % count === 0;
    const gap = (i: number) => {
      const turned = placeOf(plans[(i + 1) % count]) - placeOf(plans[i]) - 360 / count;
      return Math.abs(turned - 360 * Math.round(turned / 360));
    };
    return count > 1 && isTurned && plans.every((_, i) => gap(i) < EVEN);
  }

  /** Places that look best in the table, and all corners and crests. */
  #candidates(cut: Cut, steep: boolean): Start[] {
    const { parts } = cut;
    const table = this.#table(cut.follow, steep);
    const places = PLACES / parts;
    const period = this.#symmetry === Infinity ? 1 : PLACES / lcm(this.#symmetry, parts);
    const scored: { degrees: number; area: number; draft: number }[] = [];
    for (let degrees = 0; degrees < Math.ceil(period); degrees++) {
      let area = 0;
      let draft = Infinity;
      for (let i = 0; i < parts; i++) {
        const from = Math.round(degrees + i * places) % PLACES;
        const stretch = table.best(from, Math.round(places));
        area += stretch.area;
        draft = Math.min(draft, stretch.draftDeg);
      }
      scored.push({ degrees, area, draft });
    }
    scored.sort((a, b) =>
      Math.abs(a.area - b.area) > SAME_AREA ? a.area - b.area : b.draft - a.draft || a.degrees - b.degrees,
    );
    const starts: Start[] = [];
    const far = (degrees: number) => starts.every((one) => Math.abs(one.degrees - degrees) > 1.5);
    for (const { degrees } of scored) {
      if (starts.length >= JUDGED) break;
      if (far(degrees)) starts.push(this.#start(degrees, cut, false));
    }
    const lines = highLines(this.#form);
    for (const u of lines) {
      const degrees = cut.follow === "form" ? u * 360 : positive(toDegrees(polarAngle(this.#form, u, 0)));
      if (degrees < period + 1e-9) starts.push(this.#start(degrees, cut, true));
    }
    if (lines.length >= parts) {
      const plans = planSeams(this.#form, cut, "corners");
      starts.push({ degrees: placeOf(plans[0]), plans, onLine: true, even: false });
    }
    return starts;
  }

  /** Even seams from a place on; of flat ones only the angles, which is all that judging asks for. */
  #start(degrees: number, cut: Cut, onLine: boolean): Start {
    if (cut.follow === "form")
      return { degrees, plans: evenSeams(this.#form, cut, (degrees / 360) % 1), onLine, even: true };
    const first = (degrees * Math.PI) / 180;
    const plans = Array.from({ length: cut.parts }, (_, i): SeamPlan => ({
      follow: "flat",
      u: NaN,
      angle: first + (2 * Math.PI * i) / cut.parts,
    }));
    return { degrees, plans, onLine, even: true };
  }

  /** The seams of a start with all that is to be known of them. */
  #complete({ degrees, plans, even }: Start, cut: Cut): readonly SeamPlan[] {
    if (cut.follow === "form" || !even) return plans;
    return evenSeams(this.#form, cut, uAtAngle(this.#form, (degrees * Math.PI) / 180, 0));
  }

  /** The same seams turned a little, as long as that helps. */
  #move(
    start: Start & Judged,
    cut: Cut,
    steps: readonly number[],
    judge: (plans: readonly SeamPlan[], before: Judged, step: number) => Judged,
  ): (Start & Judged)[] {
    let best = start;
    for (const step of steps) {
      const before = best;
      for (const side of [-1, 1]) {
        for (;;) {
          const degrees = positive(Math.round((best.degrees + side * step) * 100) / 100);
          const moved = this.#start(degrees, cut, false);
          const next = { ...moved, ...judge(moved.plans, best, step) };
          if (!improves(next, best)) break;
          best = next;
        }
        // On the other side it came from there.
        if (best !== before) break;
      }
    }
    return best === start ? [] : [best];
  }
}

/** Places nearer to each other than this, degrees, are one. */
const ONE_PLACE = 0.2;
/** Areas that differ by less, as a share, and drafts, degrees: those of two places that a form's symmetry makes alike. */
const ALIKE = { area: 0.01, draft: 0.1 };

/** Without those whose seams stand where those of an earlier one do. */
function apart<T extends Start>(all: readonly T[], parts: number): T[] {
  const kept: T[] = [];
  const turn = 360 / parts;
  for (const one of all) {
    const isSame = (other: T) => {
      const off = Math.abs(one.degrees - other.degrees) % turn;
      return one.even === other.even && Math.min(off, turn - off) < ONE_PLACE;
    };
    if (!kept.some(isSame)) kept.push(one);
  }
  return kept;
}

/** Of places that a symmetry makes alike the first. */
function unlike<T extends Start & Judged>(all: readonly T[], parts: number): T[] {
  const kept: T[] = [];
  for (const one of apart(all, parts)) {
    const isAlike = ({ facing, draftDeg }: T) =>
      Math.abs(facing - one.facing) <= ALIKE.area * facing && Math.abs(draftDeg - one.draftDeg) < ALIKE.draft;
    if (!kept.some(isAlike)) kept.push(one);
  }
  return kept;
}

const toDegrees = (radians: number) => (radians * 180) / Math.PI;
const positive = (degrees: number) => ((degrees % 360) + 360) % 360;
const placeOf = ({ follow, u, angle }: SeamPlan) =>
  follow === "form" ? u * 360 : positive(toDegrees(angle));

/**
 * Best first: of those with the least area, to 1 mm², and among them the most draft, those on corners
 * and crests and then the first around the form; the rest by area and draft.
 */
function ranked<T extends Start & Judged>(all: readonly T[]): T[] {
  const least = Math.min(...all.map((one) => one.facing));
  const equal = all.filter((one) => one.facing <= least + SAME_AREA);
  const draft = Math.max(...equal.map((one) => one.draftDeg));
  const best = equal
    .filter((one) => one.draftDeg >= draft - SAME_DRAFT)
    .sort((a, b) => Number(b.onLine) - Number(a.onLine) || a.degrees - b.degrees);
  const rest = all.filter((one) => !best.includes(one));
  return [...best, ...rest.sort((a, b) => a.facing - b.facing || b.draftDeg - a.draftDeg)];
}

/** Whether less clay is held, or as much with more draft: by enough that a walk ends. */
function improves(a: Judged, b: Judged): boolean {
  if (Math.abs(a.facing - b.facing) > GAIN.area) return a.facing < b.facing;
  return a.draftDeg > b.draftDeg + GAIN.draft;
}

const GAIN = { area: 0.2, draft: 0.05 };

function lcm(a: number, b: number): number {
  let [x, y] = [a, b];
  while (y > 0) [x, y] = [y, x % y];
  return (a * b) / x;
}
