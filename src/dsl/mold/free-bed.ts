import type { CallId } from "../../../shared/place.ts";
import type { Flat, Scope, Solid } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import { CHAMFER, CHAMFER_FADE, type Layout } from "./layout.ts";
import { offsetMoat } from "./offset-stack.ts";

/** The face on the bed is read this far above it, and the cutter reaches as far below, mm. */
const BESIDE = 0.1;
/** How far the cutter reaches out beyond the part, mm. */
const OUT = 1;
/** Finer than this, mm, an edge on the bed says nothing. */
const FINE = 0.02;

/**
 * What is taken from the edges of a part on the bed, since first layers spread: at 45°, all around but
 * along the clay. Nothing where the part has no face there.
 *
 * @param clay the clay's level outline at the foot; null where the walls close under it
 */
export function bedEdge(
  scope: Scope,
  part: Solid,
  clay: Flat | null,
  { foot }: Layout,
  call: CallId,
): Tagged[] {
  const face = scope.plainer(scope.section(part, foot + BESIDE), FINE);
  if (!(face.area > 1)) return [];
  const kept = clay ? scope.flatBoth(face, scope.grow(clay, CHAMFER_FADE)) : face;
  const moat = offsetMoat(
    scope,
    kept,
    [
      { z: foot - BESIDE, out: -CHAMFER - BESIDE },
      { z: foot + CHAMFER, out: 0 },
    ],
    OUT,
    { face: "chamfer", call },
  );
  return moat ? [moat] : [];
}
