import { leastDraft } from "../leaving/draft.ts";
import { FacingArea } from "../leaving/facing-area.ts";
import { vertexAreas, type Facets } from "../leaving/facets.ts";
import { choosePull } from "../leaving/search.ts";
import { findUndercut, measureUndercut, type Undercut } from "../leaving/undercut.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { Vec3 } from "./model.ts";
import { witnessesOn, type Leaving, type Opening } from "./opening.ts";

const DOWN: Vec3 = [0, 0, -1];

/** So many of the directions along which the least clay is held are looked at, besides straight up. */
const LOOKED_AT = 4;
/** Depths that differ by less are equal, mm. */
const SAME_DEPTH = 0.05;

const waysUp = (candidates: readonly { direction: Vec3 }[]): Vec3[] => [
  DOWN,
  ...candidates.slice(0, LOOKED_AT).map(({ direction }) => direction),
];

/** By how far the clay must give, then by how much of it: what goes all around the clay is not drawn off sideways. */
function isLess(a: Undercut, b: Undercut): boolean {
  if (Math.abs(a.depthMm - b.depthMm) > SAME_DEPTH) return a.depthMm < b.depthMm;
  return a.areaMm2 < b.areaMm2;
}

/**
 * How a mold of one piece is lifted off the pot, which stands on its rim by then.
 *
 * @param touched the clay that the mold touches
 */
export function liftOff(touched: Facets, clay: Tagged): Opening {
  const pull = choosePull(
    { clay: touched.normals, slides: Float64Array.from(DOWN), level: false },
    {
      middle: DOWN,
      clay: { normals: touched.normals, areas: vertexAreas(touched) },
      facing: new FacingArea(touched),
      undercut: (m) => measureUndercut(clay.mesh, touched, m).areaMm2,
    },
  );
  const ways = pull?.from === "exact" ? [pull.direction] : waysUp(pull?.candidates ?? []);
  const { direction, held } = ways
    .map((way) => ({ direction: way, held: findUndercut(clay.mesh, touched, way) }))
    .reduce((a, b) => (isLess(b.held, a.held) ? b : a));
  const leaving: Leaving = {
    pull: direction,
    draftDeg: leastDraft(touched.normals, direction),
    undercutMm2: held.areaMm2,
    undercutMm: held.depthMm,
    witnesses: witnessesOn(touched, pull?.optimum),
    clay: touched,
    heldBy: [],
  };
  return {
    parts: new Map([["wall-a", leaving]]),
    undercuts: held.patches.map(({ areaMm2, depthMm, at }) => ({ part: "wall-a", areaMm2, depthMm, at })),
  };
}
