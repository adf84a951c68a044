import { leastDraft } from "../leaving/draft.ts";
import { vertexAreas, type Facets } from "../leaving/facets.ts";
import { choosePull } from "../leaving/search.ts";
import { findUndercut } from "../leaving/undercut.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { Vec3 } from "./model.ts";
import { witnessesOn, type Leaving, type Opening } from "./opening.ts";

const DOWN: Vec3 = [0, 0, -1];

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
      areas: vertexAreas(touched),
      undercut: (m) => findUndercut(clay.mesh, touched, m).areaMm2,
    },
  );
  const direction: Vec3 = pull?.direction ?? DOWN;
  const held = findUndercut(clay.mesh, touched, direction);
  const leaving: Leaving = {
    pull: direction,
    draftDeg: pull?.draftDeg ?? leastDraft(touched.normals, direction),
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
