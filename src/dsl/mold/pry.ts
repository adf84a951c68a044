import type { CallId } from "../../../shared/place.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { SeamKeys } from "./keys.ts";
import { bandDepth, shelfWidths, type Layout } from "./layout.ts";
import type { Vec3 } from "./model.ts";
import { stacked } from "./revolved.ts";
import type { SeamFace } from "./seam-face.ts";

/** A slot that a blade fits into, mm: along the edge, deep into the part, and inwards from the edge (practice). */
const SLOT = { length: 10, depth: 1.5, inwards: 4 };
/** From a slot to keys, band seats and shelves, mm. */
const ROOM = 2;
/** The cutter reaches this far out of the plastic, mm. */
const OVER = 1;

/**
 * A slot in the outer edge of a seam face to lever at, as near to half-way up as keys and bands let
 * it be. None where there is no room.
 */
export function prySlot(face: SeamFace, keys: SeamKeys, layout: Layout, call: CallId): Tagged[] {
  const middle = (layout.foot + layout.height) / 2;
  const { rim, foot } = shelfWidths(layout);
  const shelf = layout.shelf.thick + Math.max(rim, foot);
  const reach = (layout.height - Math.max(0, layout.foot)) / 2 - shelf - SLOT.length / 2 - ROOM;
  for (let step = 0; step <= reach; step += 0.5) {
    for (const z of [middle + step, middle - step]) {
      if (isFree(z, keys, layout)) return [slotAt(face, z, call)];
    }
  }
  return [];
}

function isFree(z: number, keys: SeamKeys, layout: Layout): boolean {
  const half = SLOT.length / 2 + ROOM;
  const bands = [-1, 0, 1].every((side) => bandDepth(layout, z + side * half) === 0);
  return bands && keys.keys.every(({ model }) => Math.abs(model.at[2] - z) > half + model.size / 2);
}

function slotAt(face: SeamFace, z: number, call: CallId): Tagged {
  let row = 0;
  while (row + 2 < face.points.length && face.points[row + 1][0].z <= z) row++;
  const points = face.points[row];
  const [start, end] = [points[0], points[points.length - 1]];
  const length = Math.hypot(end.x - start.x, end.y - start.y);
  const outwards: Vec3 = [(end.x - start.x) / length, (end.y - start.y) / length, 0];
  // Counter-clockwise, into the part after the seam.
  const axis: Vec3 = [-outwards[1], outwards[0], 0];
  const half = SLOT.length / 2;
  // Along the ruling outwards, across it downwards.
  const corners: [number, number][] = [
    [-SLOT.inwards, -half],
    [OVER, -half],
    [OVER, half],
    [-SLOT.inwards, half],
  ];
  return stacked(
    [
      { h: -OVER, corners },
      { h: SLOT.depth, corners },
    ],
    { at: [end.x, end.y, z], axis, side: outwards },
    "pry",
    call,
  );
}
