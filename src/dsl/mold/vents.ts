import type { CallId } from "../../../shared/place.ts";
import type { Flat, Scope } from "../solid/kernel.ts";
import { boundsAlong } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { Tagged } from "../solid/tagged.ts";
import { isWithin } from "./flat-seam.ts";
import type { Grid } from "./grid.ts";
import type { Vec3 } from "./model.ts";
import type { Leaving } from "./opening.ts";
import { revolved } from "./revolved.ts";
import { cavityRow } from "./ribs.ts";
import { radiusAt } from "./rows.ts";
import type { ShellRow } from "./shell.ts";

const SEGMENTS = 24;
/** From the edge of a vent to the edge of the base, mm, so that it stays out of the joint. */
const MARGIN = 4;
/** Drills start and end this far outside the plastic, mm. */
const OVER = 1;

/** Upright holes through the plastic under the pot: one in its middle and the rest about it, as far apart as asked. */
export function baseVents(
  grid: Grid,
  vents: { size: number; spacing: number },
  from: number,
  call: CallId,
): Tagged[] {
  return uprightVents(cavityRow(grid, 0), grid.centres[0], vents, from, 0, call);
}

/** Upright holes between two heights, mm, within a ring about a centre: one in its middle and the rest about it. */
export function uprightVents(
  row: ShellRow,
  c: { x: number; y: number },
  vents: { size: number; spacing: number },
  from: number,
  to: number,
  call: CallId,
  keep: (x: number, y: number) => boolean = () => true,
): Tagged[] {
  const reach = Math.max(...row.radii);
  const steps = Math.ceil(reach / vents.spacing);
  const holes: Tagged[] = [];
  for (let i = -steps; i <= steps; i++) {
    for (let k = -steps; k <= steps; k++) {
      // Rows of a triangular lattice, each moved by half a step.
      const x = (i + (k % 2 === 0 ? 0 : 0.5)) * vents.spacing;
      const y = k * vents.spacing * (Math.sqrt(3) / 2);
      const room = radiusAt(row, Math.atan2(y, x)) - Math.hypot(x, y);
      if (room < vents.size / 2 + MARGIN && !(i === 0 && k === 0)) continue;
      if (!keep(c.x + x, c.y + y)) continue;
      holes.push(
        drill([c.x + x, c.y + y, from - OVER], [0, 0, 1], vents.size, to + OVER - from + OVER, call),
      );
    }
  }
  return holes;
}

/** Upright holes through a level region between two heights, mm: as far apart as asked, clear of its edge. */
export function flatVents(
  scope: Scope,
  region: Flat,
  vents: { size: number; spacing: number },
  from: number,
  to: number,
  call: CallId,
): Tagged[] {
  const loops = scope.loops(scope.grow(region, -(vents.size / 2 + MARGIN)));
  const [xs, ys] = [0, 1].map((axis) => loops.flat().map((point) => point[axis]));
  if (xs.length === 0) return [];
  const [left, right, front, back] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const c = { x: (left + right) / 2, y: (front + back) / 2 };
  const steps = Math.ceil(Math.max(right - left, back - front) / vents.spacing);
  const holes: Tagged[] = [];
  for (const [i, k, aside] of lattice(steps)) {
    const x = c.x + (i + aside) * vents.spacing;
    const y = c.y + k * vents.spacing * (Math.sqrt(3) / 2);
    if (isWithin(loops, x, y))
      holes.push(drill([x, y, from - OVER], [0, 0, 1], vents.size, to - from + 2 * OVER, call));
  }
  return holes;
}

/** Rows of a triangular lattice about the middle, each second one moved by half a step. */
function lattice(steps: number): [number, number, number][] {
  const range = Array.from({ length: 2 * steps + 1 }, (_, i) => i - steps);
  return range.flatMap((i) => range.map((k): [number, number, number] => [i, k, k % 2 === 0 ? 0 : 0.5]));
}

/** What a drill of a diameter takes away, mm, from a place along a direction. */
export function drill(at: Vec3, axis: Vec3, size: number, depth: number, call: CallId): Tagged {
  const across: Vec3 = Math.abs(axis[0]) < 0.8 ? [1, 0, 0] : [0, 1, 0];
  const dot = across[0] * axis[0] + across[1] * axis[1] + across[2] * axis[2];
  const side = across.map((value, i) => value - dot * axis[i]);
  const length = Math.hypot(side[0], side[1], side[2]);
  return revolved(
    [
      { r: size / 2, h: 0 },
      { r: size / 2, h: depth },
    ],
    { at, axis, side: [side[0] / length, side[1] / length, side[2] / length] },
    SEGMENTS,
    "vent",
    call,
  );
}

/** A vent starts on clay that looks along the pull to within this, so that it meets little plastic: cosine. */
const FACING = 0.8;

/**
 * Holes along the pull through a part that lies on its back, where the clay is deepest: the first at
 * the deepest place, others where they are far enough from those.
 *
 * @param part the part that they go through
 * @param wall how much less deep others may be, mm
 */
export function sideVents(
  { clay, pull }: Pick<Leaving, "clay" | "pull">,
  part: Mesh,
  vents: { size: number; spacing: number },
  wall: number,
  call: CallId,
): Tagged[] {
  const places: { at: Vec3; depth: number }[] = [];
  for (let i = 0; i < clay.positions.length; i += 3) {
    const [x, y, z] = clay.positions.subarray(i, i + 3);
    const facing = clay.normals[i] * pull[0] + clay.normals[i + 1] * pull[1] + clay.normals[i + 2] * pull[2];
    if (facing >= FACING) places.push({ at: [x, y, z], depth: x * pull[0] + y * pull[1] + z * pull[2] });
  }
  places.sort((a, b) => b.depth - a.depth);
  const chosen: Vec3[] = [];
  for (const { at, depth } of places) {
    // Beside the deepest line nothing catches air.
    if (places[0].depth - depth > wall) break;
    const near = chosen.some(
      (other) => Math.hypot(at[0] - other[0], at[1] - other[1], at[2] - other[2]) < vents.spacing,
    );
    if (!near) chosen.push(at);
  }
  const back = boundsAlong(part, pull).max;
  return chosen.map((at) => {
    const from = at.map((value, k) => value - OVER * pull[k]) as Vec3;
    const depth = at[0] * pull[0] + at[1] * pull[1] + at[2] * pull[2];
    return drill(from, pull, vents.size, back - depth + 2 * OVER, call);
  });
}
