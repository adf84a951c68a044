import type { CallId } from "../../../shared/place.ts";
import type { Scope, Solid } from "../solid/kernel.ts";
import { boundsOf, massCentreOf } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { Tagged } from "../solid/tagged.ts";
import { backFeet } from "./feet.ts";
import type { FreeShape } from "./free-shape.ts";
import { CHAMFER, type Layout } from "./layout.ts";
import type { Vec3 } from "./model.ts";
import { meshRelief } from "./relief.ts";
import type { SeamFace } from "./seam-face.ts";

/** What of a foot lies in the shell that it stands on, at least, mm³. */
const LEAST_ROOT = 10;
/** What of a foot may seem to lie in another sector, mm³: the grain of the numbers. */
const WITHIN = 1e-3;

/** A wall as a mesh and in the kernel, and the sector that it is cut to. */
export interface FreeWall extends Tagged {
  inKernel: Solid;
  own: Solid;
}

/**
 * Feet on the back of a wall. Where the clay is too steep to root one in, or it would reach into
 * another sector or through a slanted opening, that one is left out.
 *
 * @param leaving the clay that the wall touches, and its pull
 * @param sides the edges of the seams on either side of it
 */
export function freeFeet(
  scope: Scope,
  wall: FreeWall,
  leaving: { clay: Mesh; pull: Vec3 },
  sides: readonly SeamFace[],
  shape: FreeShape,
  layout: Layout,
  call: CallId,
): Tagged[] {
  const relief = meshRelief(leaving.clay, massCentreOf(wall.mesh), endsOf(wall, leaving.clay, shape));
  return backFeet(relief, wall.mesh, sides, leaving.pull, layout, call).filter((foot) => {
    const solid = scope.solid(foot);
    const isRooted = scope.commonVolume(wall.inKernel, solid) > LEAST_ROOT;
    const isWithin = solid.volume - scope.commonVolume(wall.own, solid) < WITHIN;
    return isRooted && isWithin && !(shape.aside && scope.commonVolume(solid, shape.aside) > 0);
  });
}

/**
 * The heights between which a wall lies along its clay and has no slanted end, mm; no end where it goes on as far as a
 * level foot or rim.
 */
function endsOf(wall: Tagged, clay: Mesh, { top, foot }: FreeShape): { low: number; high: number } {
  const { positions: p, triangles: t } = wall.mesh;
  const middle = massCentreOf(wall.mesh)[2];
  const { min, max } = boundsOf(clay);
  let [low, high] = [min[2], max[2]];
  for (const { face, start, count } of wall.runs) {
    if (face !== "rim") continue;
    for (let i = 3 * start; i < 3 * (start + count); i++) {
      const z = p[3 * t[i] + 2];
      if (z < middle) low = Math.max(low, z + CHAMFER);
      else high = Math.min(high, z - CHAMFER);
    }
  }
  return { low: foot === null ? low : -Infinity, high: top === null ? high : Infinity };
}
