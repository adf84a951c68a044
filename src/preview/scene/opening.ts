import { Box3, Vector3 } from "three";
import type { PreviewMold } from "../../../shared/preview.ts";
import { kindOf } from "./arrange.ts";
import type { Piece } from "./piece.ts";

/** One part leaving: a straight way, the first in the list first. */
export type Move = PreviewMold["moves"][number];

/** What the ways of parts depend on. */
type Part = Pick<Piece, "name" | "role" | "box" | "apart">;

/** Size of the closed mold, mm: the diagonal of everything that comes apart and the clay in it. */
function closedSize(parts: readonly Part[]): number {
  const closed = new Box3();
  for (const { role, box } of parts) if (kindOf(role) !== "tools") closed.union(box);
  return closed.isEmpty() ? 0 : closed.getSize(new Vector3()).length();
}

/** Displacement of each part when all are drawn out by `apart` (0 closed … 1), mm: up to half the closed mold's size. */
export function apartOffsets(parts: readonly Part[], apart: number): Vector3[] {
  const way = 0.5 * closedSize(parts);
  return parts.map((part) => (part.apart ? part.apart.clone().multiplyScalar(apart * way) : new Vector3()));
}

/**
 * Displacement of each part at `position` of the opening, mm: 0 is closed, at k the first k parts
 * have left, between them one is on its way. A part goes as far as it must to be free, and then on
 * by a quarter of the closed mold's size, so that it is seen to be away. A move that names no part
 * moves nothing.
 */
export function openingOffsets(parts: readonly Part[], moves: readonly Move[], position: number): Vector3[] {
  const beyond = 0.25 * closedSize(parts);
  return parts.map(({ name }) => {
    const at = moves.findIndex(({ part }) => part === name);
    if (at < 0) return new Vector3();
    const { direction, mm } = moves[at];
    const done = Math.max(0, Math.min(1, position - at));
    return new Vector3(...direction).multiplyScalar(done * (mm + beyond));
  });
}
