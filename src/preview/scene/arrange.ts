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

type Placed = Pick<Piece, "role" | "box" | "object">;

/** Free space between tools laid out, mm. */
const aisle = 18;

/**
 * Moves every piece to its place: clay and parts of the mold by their `offsets` (one a piece, mm),
 * tools in a row on the ground beside the mold, along +x or +y: `along`. Hidden kinds are out of sight and take no room.
 * Gives the boxes of what can be seen, mold frame: of clay and mold, and of all.
 */
export function arrange(
  pieces: readonly Placed[],
  offsets: readonly Vector3[],
  hidden: ReadonlySet<Kind>,
  along: "x" | "y" = "x",
): { mold: Box3; all: Box3 } {
  const mold = new Box3();
  const tools: Placed[] = [];
  pieces.forEach((piece, i) => {
    const kind = kindOf(piece.role);
    piece.object.visible = !hidden.has(kind);
    if (!piece.object.visible) return;
    if (kind === "tools") {
      tools.push(piece);
      return;
    }
    piece.object.position.copy(offsets[i]);
    mold.union(piece.box.clone().translate(offsets[i]));
  });
  const all = mold.clone();
  const ground = mold.isEmpty() ? 0 : mold.min.z;
  let next = mold.isEmpty() ? 0 : mold.max[along] + aisle;
  for (const tool of tools) {
    const { position } = tool.object;
    position.copy(tool.box.getCenter(new Vector3()).negate());
    position[along] = next - tool.box.min[along];
    position.z = ground - tool.box.min.z;
    const box = tool.box.clone().translate(position);
    next = box.max[along] + aisle;
    all.union(box);
  }
  return { mold, all };
}
