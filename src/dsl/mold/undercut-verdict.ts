import { cutBy, GRAIN } from "../leaving/drawn.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { UndercutPatch, Vec3 } from "./model.ts";
import type { Opening } from "./opening.ts";

/** Depths below this, mm, are the grain of clay and print. */
export const NO_DEPTH = 0.05;
/** Undercuts that hold more than this by area times depth, mm³, surely hold; below, the part is really drawn. */
const SURE = 10;

/** How the part is really drawn from the clay: its solid, its pull and the clay's. */
export interface ToDraw {
  mesh: Mesh;
  pull: Vec3;
  clay: Mesh;
}

/**
 * What each undercut of one part means at the bench: it comes off, it comes off while the clay is
 * soft, being no deeper than `limit` mm, or it is locked. Where it is so little that facets cannot
 * tell, the part is drawn from the clay, and comes off if it cuts no more than 0.5 mm³ on its way.
 */
export function withVerdicts(
  patches: readonly Omit<UndercutPatch, "verdict">[],
  limit: number,
  toDraw: ToDraw | null,
): UndercutPatch[] {
  const held = patches.filter(({ depthMm }) => depthMm >= NO_DEPTH);
  const most = held.reduce((sum, { areaMm2, depthMm }) => sum + areaMm2 * depthMm, 0);
  const asks = held.length > 0 && most <= SURE;
  const passes = asks && toDraw !== null && cutBy(toDraw.mesh, toDraw.pull, toDraw.clay) <= GRAIN;
  return patches.map((patch) => ({
    ...patch,
    verdict: passes || patch.depthMm < NO_DEPTH ? "free" : patch.depthMm <= limit ? "soft" : "locked",
  }));
}

/** What the undercuts of all walls mean, wall by wall. Coarse walls are only there to be looked at, and not drawn. */
export function wallVerdicts(
  walls: readonly { name: string; mesh: Mesh }[],
  { parts, undercuts }: Opening,
  limit: number,
  clay: Mesh,
  coarse: boolean,
): UndercutPatch[] {
  return walls.flatMap(({ name, mesh }) =>
    withVerdicts(
      undercuts.filter(({ part }) => part === name),
      limit,
      coarse ? null : { mesh, pull: parts.get(name)!.pull, clay },
    ),
  );
}
