import type { CallId } from "../../../shared/place.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { Grid } from "./grid.ts";
import type { Vec3 } from "./model.ts";
import { revolved } from "./revolved.ts";
import { cavityRow } from "./ribs.ts";
import { radiusAt } from "./rows.ts";

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
  const row = cavityRow(grid, 0);
  const c = grid.centres[0];
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
      holes.push(drill([c.x + x, c.y + y, from - OVER], [0, 0, 1], vents.size, OVER - from + OVER, call));
    }
  }
  return holes;
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
