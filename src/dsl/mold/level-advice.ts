import { FacingArea } from "../leaving/facing-area.ts";
import { bestPull } from "../leaving/pull.ts";
import { LEAST_RING } from "../kit/split.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { GRID_TURN, SURFACE } from "../tolerances.ts";
import type { BuiltMold } from "./build.ts";
import { clayFacets } from "./clay-facets.ts";
import { coarseForm, coarseRings, type CoarseForm } from "./coarse-rings.ts";
import { middleOf, openRings } from "./opening.ts";
import type { Vec3 } from "./model.ts";
import type { SeamFace } from "./seam-face.ts";
import type { SeamPlan } from "./seams.ts";

/** What rings between some levels hold: undercut, mm², all parts together, and their least draft, degrees. */
export interface Stacked {
  undercutMm2: number;
  draftDeg: number;
}

/** More cross seams, and what the mold then holds. */
export interface LevelAdvice extends Stacked {
  /** Heights of those that are new, mm, fired, rising. */
  added: number[];
  /** All cross seams with them, rising. */
  levels: number[];
}

/** So many heights are looked at, and the sections, where a form changes its way. */
const LOOKED_AT = 60;
/** So many of them are opened. */
const OPENED = 3;
/** These stand this far from one another, mm. */
const APART = 6;

/**
 * Heights at which one more cross seam may stand, mm, fired, whole: none too near to the ends of the
 * body or to the cross seams that are there.
 */
export function crossLevels({
  body,
  levels,
}: {
  body: MoldSpec["body"];
  levels: readonly number[];
}): number[] {
  const sections = body.sections.map(({ z }) => Math.round(z));
  const height = body.sections[body.sections.length - 1].z;
  const step = Math.max(1, Math.ceil(height / LOOKED_AT));
  const even = Array.from({ length: Math.floor(height / step) }, (_, i) => (i + 1) * step);
  const taken = [0, ...levels, height];
  return [...new Set([...sections, ...even])]
    .filter((z) => taken.every((other) => Math.abs(other - z) >= LEAST_RING))
    .sort((a, b) => a - b);
}

/** These cross seams and one more, rising. */
export const withLevel = (levels: readonly number[], value: number): number[] =>
  [...levels, value].sort((a, b) => a - b);

/** Rings this high or higher hold two keys of the usual size beside their band, mm, fired (practice). */
const KEYED_RING = 35;

/** Whether the rings on both sides of one of these cross seams have room for their keys. */
export function leavesKeysRoom(
  { body }: Pick<MoldSpec, "body">,
  levels: readonly number[],
  value: number,
): boolean {
  const ends = [0, ...levels, body.sections[body.sections.length - 1].z];
  const i = ends.indexOf(value);
  return Math.min(value - ends[i - 1], ends[i + 1] - value) >= KEYED_RING;
}

/** How the parts of a mold open that is cut by these upright seams and at these levels. */
export function measureStacked(
  built: BuiltMold,
  plans: readonly SeamPlan[],
  levels: readonly number[],
  quality: "typing" | "idle",
): Stacked {
  return openedAt(formOf(built, plans, levels, quality), built, levels);
}

/** More new cross seams than this are not advised: each doubles what is to be clipped and cleaned. */
const MOST_ADDED = 3;

/**
 * Cross seams that leave the least undercut where the upright seams stay as they are: one, then two
 * and three as long as each leaves less, every one where it frees the most. Empty where there is
 * none to try.
 */
export function adviseLevels(built: BuiltMold): LevelAdvice[] {
  const { spec, grid, seams } = built;
  if (!grid || seams.length < 2 || spec.seams.kind !== "seams") return [];
  const advice: LevelAdvice[] = [];
  let { levels } = spec.seams;
  let held = Infinity;
  while (advice.length < MOST_ADDED && held > SAME_AREA) {
    const best = oneMore(built, levels);
    if (!best || best.undercutMm2 > held - SAME_AREA) break;
    levels = withLevel(levels, best.value);
    held = best.undercutMm2;
    const added = [...(advice.at(-1)?.added ?? []), best.value].sort((a, b) => a - b);
    advice.push({ added, levels: [...levels], ...measureStacked(built, seams, levels, "idle") });
  }
  return advice;
}

/**
 * The best place for one more cross seam: heights are told apart by what of their rings faces against
 * its best way out, then by room for the keys of both rings, and the best few are opened.
 */
function oneMore(built: BuiltMold, levels: readonly number[]): { value: number; undercutMm2: number } | null {
  const heights = crossLevels({ body: built.spec.body, levels });
  if (heights.length === 0) return null;
  const form = formOf(built, built.seams, [...levels, ...heights], "typing");
  const ranked = heights
    .map((value) => {
      const cut = withLevel(levels, value);
      return { value, room: leavesKeysRoom(built.spec, cut, value), ...facingOf(form, built, cut) };
    })
    .sort((a, b) =>
      Math.abs(a.area - b.area) > SAME_AREA
        ? a.area - b.area
        : Number(b.room) - Number(a.room) || b.draft - a.draft,
    );
  const few: number[] = [];
  for (const { value } of ranked)
    if (few.length < OPENED && few.every((other) => Math.abs(other - value) >= APART)) few.push(value);
  return few
    .map((value) => ({ value, ...openedAt(form, built, withLevel(levels, value)) }))
    .reduce((best, one) => (one.undercutMm2 < best.undercutMm2 - SAME_AREA ? one : best));
}

/** Areas that differ by less are equal, mm². */
const SAME_AREA = 1;

/** The form of a mold with rows at these levels, mm, fired. */
function formOf(
  { grid, spec, scale }: BuiltMold,
  plans: readonly SeamPlan[],
  levels: readonly number[],
  quality: "typing" | "idle",
): CoarseForm {
  const zs = levels.map((z) => z * scale.cavity);
  const fineness = { tolerance: SURFACE[quality], turn: GRID_TURN[quality], body: spec.body.call };
  return coarseForm(grid!.form, plans, zs, fineness);
}

const ringsOf = (form: CoarseForm, { scale }: BuiltMold, levels: readonly number[]) =>
  coarseRings(
    form,
    levels.map((z) => z * scale.cavity),
  );

function openedAt(form: CoarseForm, built: BuiltMold, levels: readonly number[]): Stacked {
  const none = { mesh: { positions: new Float64Array(0), triangles: new Uint32Array(0) }, runs: [] };
  const rings = ringsOf(form, built, levels).map((ring, r) => ({
    ...ring,
    faces: ring.seams.map((line) => faceThrough(line, ring.grid.zs)),
    walls: ring.seams.map((_, i) => ({ name: `${r} ${i}`, ...none })),
  }));
  const { undercuts, parts } = openRings(rings, { floor: null, clay: form.clay, spec: built.spec });
  return {
    undercutMm2: undercuts.reduce((sum, { areaMm2 }) => sum + areaMm2, 0),
    draftDeg: Math.min(...[...parts.values()].map(({ draftDeg }) => draftDeg)),
  };
}

/** Ways in which a part that has no draft is looked at: turned from its middle, and rising, degrees. */
const TURNED = [0, -20, 20, -40, 40];
const RISING = [0, 15, 30, 50];

/** What of all rings faces against the best way out of its part, mm², and the sine of their least draft. */
function facingOf(
  form: CoarseForm,
  built: BuiltMold,
  levels: readonly number[],
): { area: number; draft: number } {
  const { stand, seams } = built.spec;
  const up = stand === "foot" ? 1 : -1;
  let area = 0;
  let draft = 1;
  for (const ring of ringsOf(form, built, levels))
    ring.seams.forEach((from, i) => {
      const clay = clayFacets(ring.grid, from, ring.seams[(i + 1) % ring.seams.length]);
      const slides = Float64Array.from([0, 0, up]);
      const { t, direction } = bestPull({ clay: clay.normals, slides, level: seams.pull === "level" });
      draft = Math.min(draft, t);
      if (direction) return;
      const against = new FacingArea(clay);
      const middle = middleOf(ring.seams, i);
      const ways = TURNED.flatMap((turn) =>
        (seams.pull === "level" ? [0] : RISING).map((rise) => turned(middle, turn, up * rise)),
      );
      area += Math.min(...ways.map((m) => against.along(m).area));
    });
  return { area, draft };
}

function turned([x, y]: Vec3, turn: number, rise: number): Vec3 {
  const [a, b] = [turn, rise].map((degrees) => (degrees * Math.PI) / 180);
  const [c, s, level] = [Math.cos(a), Math.sin(a), Math.cos(b)];
  return [level * (x * c - y * s), level * (x * s + y * c), Math.sin(b)];
}

/** A seam face no wider than it takes to have a direction. */
function faceThrough(
  line: { x: Float64Array; y: Float64Array; dirX: Float64Array; dirY: Float64Array },
  zs: readonly number[],
): SeamFace {
  const points = zs.map((z, j) => [
    { x: line.x[j], y: line.y[j], z },
    { x: line.x[j] + 10 * line.dirX[j], y: line.y[j] + 10 * line.dirY[j], z },
  ]);
  return { points, hollow: points, proud: points, cells: [] };
}
