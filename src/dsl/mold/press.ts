import type { Hand } from "../kit/hand.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { narrowestOpening } from "./capacity.ts";
import type { Grid } from "./grid.ts";
import { erode } from "./shell.ts";

/** Room beside the hand, mm (practice). */
const EASE = 5;

/** The least opening that lets a whole hand through, mm. */
export const handRoom = (hand: Hand): number => hand.breadth + EASE;

/** How deep a hand reaches through an opening, mm. Openings in mm; common practice but for the hand itself. */
export function reachThrough(opening: number, hand: Hand): number {
  if (opening >= handRoom(hand)) return opening >= hand.forearm / Math.PI + EASE ? Infinity : hand.length;
  if (opening >= 45) return 0.45 * hand.length;
  if (opening >= 25) return 65;
  return 0;
}

/** "closed" where a hand reaches every joint of the closed mold from its mouth or its open base, else "parts". */
export function choosePress(grid: Grid, spec: MoldSpec): "closed" | "parts" {
  // Solid clay is pressed into open halves.
  if (spec.slab === "solid") return "parts";
  return pressThrough(narrowestOpening(grid, erode(grid, spec.slab), 0), grid.form.height, spec);
}

/**
 * The same by what is known of the room inside.
 *
 * @param opening narrowest way in, inside the slab, mm
 * @param height of the clay, mm
 * @param open whether a hand gets in from below as well
 */
export function pressThrough(
  opening: number,
  height: number,
  spec: MoldSpec,
  open = spec.base.kind === "open",
): "closed" | "parts" {
  const fromMouth = reachThrough(opening, spec.hand);
  // Through an open base each half of the height is reached from its own end.
  return fromMouth >= (open ? height / 2 : height) ? "closed" : "parts";
}
