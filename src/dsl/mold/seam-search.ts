import type { Form } from "../form/form.ts";
import type { Split } from "../kit/split.ts";
import { vertexAreas } from "../leaving/facets.ts";
import { choosePull } from "../leaving/search.ts";
import { clayFacets } from "./clay-facets.ts";
import { makeGrid } from "./grid.ts";
import { middleOf } from "./opening.ts";
import { evenSeams, highLines, planSeams } from "./seam-plan.ts";
import { drawSeams, type SeamPlan } from "./seams.ts";

/** Steps of the scan within one part's share of the outline. */
const STEPS = 24;
/** Form error of the grid that candidates are compared on, mm. */
const COARSE = 0.5;
/** Drafts nearer to each other than this, degrees, are equal. */
const SAME_DRAFT = 0.05;

/**
 * The seams that leave the least undercut area, then the largest least draft, then stand on corners
 * or crests, then have the lowest u. Compared by the surface normals of each part.
 */
export function planBest(form: Form, split: Split): SeamPlan[] {
  const lines = highLines(form);
  const onLines = lines.length >= split.parts ? [planSeams(form, split, "corners")] : [];
  const even = Array.from({ length: STEPS }, (_, i) => evenSeams(form, split, i / STEPS / split.parts));
  const candidates = [...onLines, ...even];
  const grid = makeGrid(form, {
    tolerance: COARSE,
    us: split.follow === "form" ? candidates.flatMap((plans) => plans.map((plan) => plan.u)) : [],
    zs: [],
    turn: 0.5,
  });
  const up = [0, 0, 1];
  let best: { plans: SeamPlan[]; area: number; draft: number } | null = null;
  for (const plans of candidates) {
    const seams = drawSeams(grid, plans);
    let area = 0;
    let draft = Infinity;
    seams.forEach((seam, i) => {
      const touched = clayFacets(grid, seam, seams[(i + 1) % seams.length]);
      const pull = choosePull(
        { clay: touched.normals, slides: Float64Array.from(up), level: split.pull === "level" },
        { middle: middleOf(seams, i), areas: vertexAreas(touched) },
      );
      area += pull?.undercutArea ?? Infinity;
      draft = Math.min(draft, pull?.draftDeg ?? -90);
    });
    if (!best || area < best.area - 1 || (area < best.area + 1 && draft > best.draft + SAME_DRAFT)) {
      best = { plans, area, draft };
    }
  }
  return best!.plans;
}
