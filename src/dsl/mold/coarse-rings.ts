import type { CallId } from "../../../shared/place.ts";
import type { Form } from "../form/form.ts";
import type { Tagged } from "../solid/tagged.ts";
import { buildFineClay } from "./clay-solid.ts";
import { makeGrid, type Grid } from "./grid.ts";
import { between } from "./rings.ts";
import { drawSeams, type SeamLine, type SeamPlan } from "./seams.ts";

/** A form on a grid of its own that has some heights among its rows, with its seams and the clay on the same rows. */
export interface CoarseForm {
  grid: Grid;
  seams: SeamLine[];
  clay: Tagged;
}

/**
 * @param zs heights, mm, mold frame
 * @param fineness error in the surface, mm, and the most that neighbouring normals turn, radians
 */
export function coarseForm(
  form: Form,
  plans: readonly SeamPlan[],
  zs: readonly number[],
  fineness: { tolerance: number; turn: number; body: CallId },
): CoarseForm {
  const { tolerance, turn, body } = fineness;
  const grid = makeGrid(form, {
    tolerance,
    us: plans.filter(({ follow }) => follow === "form").map(({ u }) => u),
    zs: [...zs],
    turn,
  });
  const seams = drawSeams(grid, plans);
  const none = { angles: new Float64Array(0), us: new Float64Array(0), radii: new Float64Array(0) };
  const rows = grid.zs.map((z, row) => ({
    z,
    grid: row,
    centre: grid.centres[row],
    out: 0,
    chamfer: 0,
    outside: none,
    flange: [],
  }));
  return { grid, seams, clay: buildFineClay(grid, rows, seams, body) };
}

/** Its rings between these of the heights, from the foot up. */
export function coarseRings(
  { grid, seams }: CoarseForm,
  zs: readonly number[],
): { grid: Grid; seams: SeamLine[] }[] {
  const rows = zs.map((z) =>
    grid.zs.reduce((best, own, j) => (Math.abs(own - z) < Math.abs(grid.zs[best] - z) ? j : best), 0),
  );
  const ends = [0, ...rows, grid.zs.length - 1];
  return ends.slice(1).map((to, r) => {
    const own = between(grid, ends[r], to);
    return { grid: own, seams: drawSeams(own, seams) };
  });
}
