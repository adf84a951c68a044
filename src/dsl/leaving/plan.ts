import type { Mesh } from "../solid/mesh.ts";
import { leastDraft } from "./draft.ts";
import { FacingArea } from "./facing-area.ts";
import { vertexAreas, type Facets } from "./facets.ts";
import type { PullOptimum, PullProblem } from "./pull.ts";
import { choosePull, type ChosenPull, type SearchOptions } from "./search.ts";
import { measureUndercut, type MeasuredUndercut } from "./undercut.ts";
import type { Vec3 } from "./vector.ts";

/** A part in the closed mold, before it has keys; mold frame. */
export interface ClosedPart {
  name: string;
  /** The clay that it touches. */
  clay: Facets;
  /** The same on a coarser grid, on which directions that all hold clay are told apart. Default the same. */
  coarse?: Facets;
  /** Unit direction from the axis through the middle of the part. */
  middle: Vec3;
  /** Faces shared with other parts, by the other's name: unit normals pointing into this part. Keys stand on them. */
  contacts: ReadonlyMap<string, Float64Array>;
  /** What stays while this part leaves, with some room between the two: a floor. */
  beside: {
    /** Unit normals of the faces turned to it, pointing into the part. Along these it surely slides. */
    normals: Float64Array;
    /** Whether the part would run into it along `m`, with the room that there is. */
    blocks: (m: Vec3) => boolean;
  } | null;
}

export interface PlanOptions {
  /** What the pot stands on while it is opened: a normal that no pull may go against; null for nothing. */
  stand: Vec3 | null;
  /** Pull level only. */
  level: boolean;
  /** Draft that a pull must leave along keyed faces for keys to register, degrees; 90 where none would. */
  keyDraft: number;
  /** Draft of the clay that is not given up for the keys' sake, degrees. */
  wantedDraft: number;
  /** The whole clay on the grid of the parts' coarser facets. Default the clay itself. */
  coarse?: Mesh;
}

/** How a part is meant to leave. */
export interface PlannedPull {
  part: string;
  direction: Vec3;
  draftDeg: number;
  optimum: PullOptimum | null;
  undercut: MeasuredUndercut;
  /** Neighbours that were still there and left it no direction; then it is that of the part alone. */
  heldBy: string[];
}

/** Undercuts that differ by less are equal, mm². */
const SAME_AREA = 1;
/** Drafts that differ by less are equal, degrees. */
const SAME_DRAFT = 1e-3;

/**
 * In which order and direction parts can leave the clay, one part and one translation at a time: of
 * those left, the one that tears the least clay and then has the most draft goes next. Taking a part
 * away only frees the rest, so no other choice frees more. When no part that is left has a direction
 * along all its neighbours, the rest are given as held, each with the pull it would have alone.
 *
 * This looks at the faces that touch; what else is in the way of a part is for `openingOrder`, on
 * the finished solids.
 */
export function planOpening(parts: readonly ClosedPart[], clay: Mesh, options: PlanOptions): PlannedPull[] {
  const pulls = new Map(parts.map((part) => [part, new PartPulls(part, clay, options)]));
  const left = new Set(parts);
  const names = () => new Set([...left].map((part) => part.name));
  const planned: PlannedPull[] = [];
  const take = (part: ClosedPart, pull: ChosenPull | null, heldBy: string[]) => {
    const direction = pull?.direction ?? part.middle;
    planned.push({
      part: part.name,
      direction,
      draftDeg: leastDraft(part.clay.normals, direction),
      optimum: pull?.optimum ?? null,
      undercut: pulls.get(part)!.undercut(direction),
      heldBy,
    });
    left.delete(part);
  };
  while (left.size > 0) {
    const present = names();
    let best: { part: ClosedPart; pull: ChosenPull } | null = null;
    for (const part of left) {
      const pull = pulls.get(part)!.beside(present);
      if (pull && (!best || isBetter(pull, best.pull))) best = { part, pull };
    }
    if (!best) break;
    take(best.part, best.pull, []);
  }
  const present = names();
  for (const part of [...left])
    take(
      part,
      pulls.get(part)!.beside(new Set()),
      [...part.contacts.keys()].filter((name) => present.has(name)),
    );
  return planned;
}

/** Less undercut, then more draft; ties go to the part that comes first. */
function isBetter(a: ChosenPull, b: ChosenPull): boolean {
  if (Math.abs(a.undercutArea - b.undercutArea) > SAME_AREA) return a.undercutArea < b.undercutArea;
  return a.draftDeg > b.draftDeg + SAME_DRAFT;
}

/** What some facets of the clay hold along a direction, each direction measured once. */
function measuring(clay: Mesh, facets: Facets): (m: Vec3) => MeasuredUndercut {
  const known = new Map<string, MeasuredUndercut>();
  return (m) => {
    const key = m.join();
    let one = known.get(key);
    if (!one) known.set(key, (one = measureUndercut(clay, facets, m)));
    return one;
  };
}

/** The pulls of one part, each computed once for the neighbours that are there. */
class PartPulls {
  /** What the clay holds along a direction. */
  readonly undercut: (m: Vec3) => MeasuredUndercut;
  readonly #part: ClosedPart;
  readonly #options: PlanOptions;
  readonly #search: SearchOptions;
  readonly #pulls = new Map<string, ChosenPull | null>();

  constructor(part: ClosedPart, clay: Mesh, options: PlanOptions) {
    this.undercut = measuring(clay, part.clay);
    this.#part = part;
    this.#options = options;
    const told = part.coarse ?? part.clay;
    const roughly = part.coarse ? measuring(options.coarse ?? clay, told) : this.undercut;
    this.#search = {
      middle: part.middle,
      clay: { normals: told.normals, areas: vertexAreas(told) },
      facing: new FacingArea(told),
      undercut: (m) => roughly(m).areaMm2,
      truly: (m) => this.undercut(m).areaMm2,
    };
  }

  /** The best pull while the parts of these names are there; null when they leave none. */
  beside(present: ReadonlySet<string>): ChosenPull | null {
    const contacts = [...this.#part.contacts].filter(([name]) => present.has(name));
    const key = contacts.map(([name]) => name).join("\n");
    let known = this.#pulls.get(key);
    if (known === undefined) this.#pulls.set(key, (known = this.#pull(contacts.map(([, one]) => one))));
    return known;
  }

  /** The best pull that passes what stays; the best one of all where none does, for the reader to see. */
  #pull(contacts: readonly Float64Array[]): ChosenPull | null {
    const { beside } = this.#part;
    const free = this.#forKeys(contacts, []);
    if (!free || !beside?.blocks(free.direction)) return free;
    const slid = this.#forKeys(contacts, [beside.normals]);
    return slid && !beside.blocks(slid.direction) ? slid : free;
  }

  /**
   * The best pull; where it runs so nearly along a seam that no key on it could be high enough to
   * register, the best one that does not, as long as that holds no more clay and keeps the draft
   * asked for.
   */
  #forKeys(contacts: readonly Float64Array[], more: readonly Float64Array[]): ChosenPull | null {
    const { stand, level, keyDraft, wantedDraft } = this.#options;
    const slides = joined([Float64Array.from(stand ?? []), ...more, ...contacts]);
    const problem: PullProblem = { clay: this.#part.clay.normals, slides, level };
    const free = choosePull(problem, this.#search);
    const seams = joined(contacts);
    if (!free || seams.length === 0 || leastDraft(seams, free.direction) >= keyDraft) return free;
    const keyed = choosePull({ ...problem, flanks: seams, flankDraft: keyDraft }, this.#search);
    const asGood =
      keyed !== null &&
      keyed.undercutArea <= free.undercutArea + SAME_AREA &&
      keyed.draftDeg >= Math.min(free.draftDeg, wantedDraft);
    return asGood ? keyed : free;
  }
}

function joined(lists: readonly Float64Array[]): Float64Array {
  const all = new Float64Array(lists.reduce((sum, list) => sum + list.length, 0));
  let at = 0;
  for (const list of lists) {
    all.set(list, at);
    at += list.length;
  }
  return all;
}
