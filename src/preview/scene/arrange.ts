import { Box3, Vector3 } from "three";
import type { Piece } from "./piece.ts";

/** What the maker can hide. */
export const kinds = ["clay", "mold", "tools"] as const;
export type Kind = (typeof kinds)[number];

export function kindOf(role: Piece["role"]): Kind {
  switch (role) {
    case "vessel":
      return "clay";
    case "wall":
    case "floor":
      return "mold";
    case "cutter":
    case "rail":
    case "peg":
      return "tools";
  }
}

/** Free space between tools laid out, mm. */
const aisle = 18;

/**
 * Moves every piece to its place: parts of the mold along their way out by `apart` (0…1) times half
 * the size of the closed mold, tools in a row on the ground to its right. Hidden kinds are out of
 * sight and take no room. Gives the box of what can be seen, mold frame.
 */
export function arrange(pieces: Piece[], apart: number, hidden: ReadonlySet<Kind>): Box3 {
  const closed = new Box3();
  for (const piece of pieces) if (kindOf(piece.role) !== "tools") closed.union(piece.box);
  const way = closed.isEmpty() ? 0 : 0.5 * closed.getSize(new Vector3()).length();

  const seen = new Box3();
  const tools: Piece[] = [];
  for (const piece of pieces) {
    const kind = kindOf(piece.role);
    piece.object.visible = !hidden.has(kind);
    if (!piece.object.visible) continue;
    if (kind === "tools") {
      tools.push(piece);
      continue;
    }
    piece.object.position.set(0, 0, 0);
    if (piece.apart) piece.object.position.copy(piece.apart).multiplyScalar(apart * way);
    seen.union(piece.box.clone().translate(piece.object.position));
  }
  const ground = seen.isEmpty() ? 0 : seen.min.z;
  let right = seen.isEmpty() ? 0 : seen.max.x + aisle;
  for (const tool of tools) {
    const center = tool.box.getCenter(new Vector3());
    tool.object.position.set(right - tool.box.min.x, -center.y, ground - tool.box.min.z);
    const box = tool.box.clone().translate(tool.object.position);
    right = box.max.x + aisle;
    seen.union(box);
  }
  return seen;
}
