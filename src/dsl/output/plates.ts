// eslint-disable-next-line @typescript-eslint/triple-slash-reference -- ambient: every program that compiles this file must see it
/// <reference path="./maxrects-packer.d.ts" />
import { MaxRectsPacker } from "maxrects-packer/dist/maxrects-packer.mjs";
import type { Vec3 } from "../mold/model.ts";

/** Free strip along the edge of the bed and between parts, mm (practice: 5–10 at the edge). */
export const PLATE_MARGIN = 5;

/** Room between the beds of neighbouring plates in one file, mm. */
export const PLATE_GAP = 20;

/** Where a part lies on its plate. */
export interface Placement {
  /** From 0. */
  plate: number;
  /** Corner of its box from the corner of the bed, mm. */
  x: number;
  y: number;
  /** Turned a quarter counter-clockwise, seen from above. */
  turned: boolean;
}

/** Whether a part of this size in bed position goes onto the bed with its margin, turned a quarter if need be. */
export function fitsBed(size: Vec3, bed: Vec3): boolean {
  return overBed(size, bed) === 0;
}

/** By how much a part of this size goes beyond the bed with its margin, turned as it is least, mm; 0 where it fits. */
export function overBed(size: Vec3, bed: Vec3): number {
  const [x, y] = [bed[0] - 2 * PLATE_MARGIN, bed[1] - 2 * PLATE_MARGIN];
  const flat = Math.min(Math.max(size[0] - x, size[1] - y), Math.max(size[1] - x, size[0] - y));
  return Math.max(0, flat, size[2] - bed[2]);
}

/**
 * Lays parts of these sizes (mm, bed position) onto as few plates as come out of packing their
 * boxes, largest first. A part that does not fit the bed gets a plate of its own after the others,
 * its shorter side in x; where even that reaches into the next plate, the next number is left out.
 */
export function packPlates(sizes: readonly Vec3[], bed: Vec3): Placement[] {
  const placements: Placement[] = [];
  // The packer keeps its padding between boxes only, so the strip at the edge is left out of the bed.
  const packer = new MaxRectsPacker<number>(
    bed[0] - 2 * PLATE_MARGIN,
    bed[1] - 2 * PLATE_MARGIN,
    PLATE_MARGIN,
    {
      smart: false,
      pot: false,
      square: false,
      allowRotation: true,
      border: 0,
    },
  );
  const order = sizes
    .map((size, part) => ({ part, size, longest: Math.max(size[0], size[1]) }))
    .sort((a, b) => b.longest - a.longest || a.part - b.part);
  for (const { part, size } of order) {
    if (fitsBed(size, bed)) packer.add(size[0], size[1], part);
  }
  packer.bins.forEach(({ rects }, plate) => {
    for (const box of rects) {
      placements[box.data] = { plate, x: box.x + PLATE_MARGIN, y: box.y + PLATE_MARGIN, turned: box.rot };
    }
  });
  let plate = packer.bins.length;
  for (const { part, size } of order) {
    if (fitsBed(size, bed)) continue;
    placements[part] = { plate, x: PLATE_MARGIN, y: PLATE_MARGIN, turned: size[0] > size[1] };
    const reach = 2 * PLATE_MARGIN + Math.min(size[0], size[1]);
    plate += Math.max(1, Math.ceil(reach / (bed[0] + PLATE_GAP)));
  }
  return placements;
}
