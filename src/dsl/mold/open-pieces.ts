import type { Facets } from "../leaving/facets.ts";
import { planOpening, type ClosedPart } from "../leaving/plan.ts";
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
  /** What stays while it leaves, with some room between the two. */
  beside?: ClosedPart["beside"];
}

/**
 * Plans how a mold with flat seams opens.
 *
 * @param stand normal of what the clay stands on; null for a solid that lies in a part
 * @param level whether parts are drawn level only
 */
export function openPieces(
  pieces: readonly Piece[],
  clay: Mesh,
  stand: Vec3 | null,
  spec: MoldSpec,
  level = spec.seams.pull === "level",
): Opening {
  const parts = pieces.map(({ name, touched, middle, meets, beside }): ClosedPart => {
    const contacts = new Map<string, Float64Array>();
    for (const { other, normal } of meets)
      contacts.set(other, Float64Array.from([...(contacts.get(other) ?? []), ...normal]));
    return { name, clay: touched, middle, contacts, beside: beside ?? null };
  });
  const planned = planOpening(parts, clay, {
    stand,
    level,
    keyDraft: keyDraft(spec.keys, spec.flange.thickness),
    wantedDraft: spec.limits.draft,
  });
  return openingOf(planned, parts);
}
