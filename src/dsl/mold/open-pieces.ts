import type { Facets } from "../leaving/facets.ts";
import { planOpening } from "../leaving/plan.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { keyDraft } from "./keys.ts";
import type { Vec3 } from "./model.ts";
import { openingOf, type Opening } from "./opening.ts";

/** A part of a mold with flat seams. */
export interface Piece {
  name: string;
  /** The clay that it touches. */
  touched: Facets;
  /** Away from the clay through the middle of the part. */
  middle: Vec3;
  /** Other parts that it meets, with the normal of the seam that points into this part. */
  meets: { other: string; normal: Vec3 }[];
}

/**
 * Plans how a mold with flat seams opens.
 *
 * @param stand normal of what the clay stands on; null for a solid that lies in a part
 */
export function openPieces(
  pieces: readonly Piece[],
  clay: Mesh,
  stand: Vec3 | null,
  spec: MoldSpec,
): Opening {
  const parts = pieces.map(({ name, touched, middle, meets }) => ({
    name,
    clay: touched,
    middle,
    contacts: new Map(meets.map(({ other, normal }) => [other, Float64Array.from(normal)] as const)),
    beside: null,
  }));
  const planned = planOpening(parts, clay, {
    stand,
    level: spec.seams.pull === "level",
    keyDraft: keyDraft(spec.keys, spec.flange.thickness),
    wantedDraft: spec.limits.draft,
  });
  return openingOf(planned, parts);
}
