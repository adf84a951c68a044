import type { Change, Literal } from "../../../shared/change.ts";
import { SURFACE } from "../tolerances.ts";
import type { BuiltMold } from "./build.ts";
import { adviseLevels, measureStacked } from "./level-advice.ts";
import { SeamSearch } from "./seam-search.ts";
import { highLines, planSeams, type Cut } from "./seam-plan.ts";
import type { SeamPlan } from "./seams.ts";

/** Another way to cut the same form, with what it leaves. */
export interface SeamAdvice {
  kind: "at" | "corners" | "flat" | "parts" | "levels";
  /** Degrees for `at`, number for `parts`, new heights for `levels`, mm, fired, 0 for the others. */
  value: number | string;
  change: Change;
  /** Undercut area, mm², and least draft, degrees, before and after. */
  before: { undercutMm2: number; draftDeg: number };
  after: { undercutMm2: number; draftDeg: number };
}

/** Undercut areas that differ by less are equal, mm². */
const SAME_AREA = 1;
/** More parts than this are not advised: each is one more seam to clean off. */
const MOST_PARTS = 6;

const known = new WeakMap<BuiltMold, SeamAdvice[]>();

/**
 * Ways to cut the form that hold less clay or drag less, the least change first: the seams turned,
 * upright instead of following the form, the least number of parts that frees it, and last the mold cut across. Empty for what
 * is not cut by upright seams, where the design has no `split` to change, and while a maker types.
 */
export function adviseSeams(built: BuiltMold): SeamAdvice[] {
  let advice = known.get(built);
  if (!advice) known.set(built, (advice = advise(built)));
  return advice;
}

function advise(built: BuiltMold): SeamAdvice[] {
  const { spec, grid, seams, model } = built;
  const { seams: split } = spec;
  if (!grid || seams.length < 2 || split.call < 0 || model.build.tolerance >= SURFACE.typing) return [];
  const search = new SeamSearch(grid.form, {
    level: split.pull === "level",
    up: spec.stand === "foot" ? 1 : -1,
    reach: model.build.wall + spec.flange.width,
  });
  const { call, parts, follow } = split;
  // Rings leave each their own way: what the form would hold uncut says nothing of them.
  const stacked = split.levels.length > 0;
  const measure = (plans: readonly SeamPlan[]): SeamAdvice["after"] =>
    stacked ? measureStacked(built, plans, split.levels, "typing") : search.measure(plans);
  const bestOf = (cut: Cut) => {
    const best = search.best(cut, false);
    return stacked ? { ...best, ...measure(best.plans) } : best;
  };
  const before = measure(seams);
  const found: SeamAdvice[] = [];
  const helps = ({ undercutMm2, draftDeg }: SeamAdvice["after"]) =>
    Math.abs(undercutMm2 - before.undercutMm2) > SAME_AREA
      ? undercutMm2 < before.undercutMm2
      : draftDeg > before.draftDeg + 0.1;
  const offer = (
    kind: SeamAdvice["kind"],
    value: SeamAdvice["value"],
    change: Change,
    { undercutMm2, draftDeg }: SeamAdvice["after"],
  ) => {
    const after = { undercutMm2, draftDeg };
    if (helps(after)) found.push({ kind, value, change, before, after });
  };
  const set = (key: string, value: Literal): Change => ({
    kind: "setOption",
    call,
    argument: 0,
    path: [key],
    value,
  });
  /** With the seams where the design has them; angles one by one only go with their own number of parts. */
  const cutInto = (count: number, way: "form" | "flat"): SeamAdvice["after"] | null => {
    const cut = { parts: count, follow: way, call };
    if (split.at === "best") return bestOf(cut);
    if (split.at === "corners") {
      if (highLines(grid.form).length < count) return null;
    } else if (split.at.length > 1 && count !== parts) return null;
    return measure(planSeams(grid.form, cut, split.at));
  };

  if (split.at !== "best") {
    const cut = { parts, follow, call };
    const best = bestOf(cut);
    if (best.even) {
      const at = Math.round(((best.plans[0].angle * 1800) / Math.PI + 3600) % 3600) / 10;
      offer("at", at, set("at", at), measure(planSeams(grid.form, cut, [at])));
    } else offer("corners", 0, set("at", "corners"), best);
  }
  if (follow === "form") {
    const flat = cutInto(parts, "flat");
    if (flat) offer("flat", 0, set("follow", "flat"), flat);
  }
  for (let count = parts + 1; count <= MOST_PARTS; count++) {
    const more = cutInto(count, follow);
    if (!more || !helps(more)) continue;
    if (more.undercutMm2 > SAME_AREA && count < MOST_PARTS) continue;
    offer("parts", count, set("parts", count), more);
    break;
  }
  // What upright seams cannot free, cross seams may.
  if (before.undercutMm2 > SAME_AREA)
    for (const across of adviseLevels(built))
      if (across.undercutMm2 < before.undercutMm2 - SAME_AREA)
        offer("levels", across.added.join(", "), set("levels", across.levels), across);
  return found;
}
