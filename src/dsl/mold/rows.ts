import { normalOf } from "../form/form.ts";
import { LEAST_GAP } from "../tolerances.ts";
import type { Grid } from "./grid.ts";
import { bandDepth, bedLevel, CHAMFER, grooveProfile, shelfReach, type Layout } from "./layout.ts";
import type { SeamLine } from "./seams.ts";
import { lastNotAbove, type Shell, type ShellRow } from "./shell.ts";

/** One level of the walls, from the foot up: the grid's rows, and below them those of the floor's groove. */
export interface WallRow {
  z: number;
  /** Row of the grid that this level follows. */
  grid: number;
  centre: { x: number; y: number };
  /** How far the inner face stands outside the cavity outline, mm; 0 along the cavity. */
  out: number;
  /** The bed edge is cut by this much here. */
  chamfer: number;
  /** Outside with its shelves. */
  outside: ShellRow;
  /** Distance from the centre to the outer edge of each seam's flange. */
  flange: number[];
}

const TURN = 2 * Math.PI;

export function wallRows(grid: Grid, shell: Shell, seams: readonly SeamLine[], layout: Layout): WallRow[] {
  const last = grid.zs.length - 1;
  const levels = [
    ...(layout.floor ? grooveProfile(layout).reverse() : []).map(({ z, out }) => ({ z, out, row: 0 })),
    ...grid.zs.map((z, row) => ({ z, out: 0, row })),
  ];
  const reach = seams.map((seam) => flangeReach(grid, shell, seam, layout));
  const ends = { rim: shell.rows[last], foot: shell.rows[0] };
  return levels.map(({ z, out, row }) => {
    const centre = grid.centres[row];
    const chamfer = Math.abs(z - bedLevel(layout)) < 1e-6 ? CHAMFER : 0;
    const shelves = shelfReach(layout, z);
    const outside = widen(shell.rows[row], centre, chamfer, [
      { ring: ends.rim, centre: grid.centres[last], reach: shelves.rim },
      { ring: ends.foot, centre: grid.centres[0], reach: shelves.foot },
    ]);
    const flange = seams.map((seam, s) => {
      const lean = along(grid, seam, row);
      return reach[s] - lean - bandDepth(layout, z) - chamfer;
    });
    return { z, grid: row, centre, out, chamfer, outside, flange };
  });
}

/** How far the centre of a row has moved along the seam's direction since the foot. */
function along(grid: Grid, seam: SeamLine, row: number): number {
  const c = grid.centres[row];
  const c0 = grid.centres[0];
  return (c.x - c0.x) * seam.dirX[row] + (c.y - c0.y) * seam.dirY[row];
}

/** The outer edge of a flange is parallel to the axis, so that bands do not creep: as far as the widest level asks. */
function flangeReach(grid: Grid, shell: Shell, seam: SeamLine, layout: Layout): number {
  let widest = 0;
  grid.zs.forEach((_, row) => {
    const angle = Math.atan2(seam.dirY[row], seam.dirX[row]);
    widest = Math.max(widest, along(grid, seam, row) + radiusAt(shell.rows[row], angle));
  });
  return widest + layout.flange.width;
}

/** Distance to a ring of straight edges along a ray, mm. */
export function radiusAt(row: ShellRow, angle: number): number {
  const { angles, radii } = row;
  const turned = angle + TURN * Math.ceil((angles[0] - angle) / TURN - 1e-12);
  const i = lastNotAbove(angles, turned);
  const k = (i + 1) % angles.length;
  const a = turned - angles[i];
  const b = (k === 0 ? angles[0] + TURN : angles[k]) - turned;
  if (a < 1e-12) return radii[i];
  if (b < 1e-12) return radii[k];
  // The edge between two polar points, read at an angle between them.
  return (radii[i] * radii[k] * Math.sin(a + b)) / (radii[i] * Math.sin(a) + radii[k] * Math.sin(b));
}

/** The outside as far as the farthest of shell and shelves on each ray, less the chamfer. */
export function widen(
  row: ShellRow,
  centre: { x: number; y: number },
  chamfer: number,
  shelves: { ring: ShellRow; centre: { x: number; y: number }; reach: number }[],
): ShellRow {
  const radii = row.radii.slice();
  for (const shelf of shelves) {
    if (!isSeen(shelf, centre)) continue;
    const ring = seenFrom(shelf.ring, shelf.centre, centre, shelf.reach);
    for (let i = 0; i < radii.length; i++) radii[i] = Math.max(radii[i], radiusAt(ring, row.angles[i]));
  }
  return { ...row, radii: radii.map((radius) => radius - chamfer) };
}

/** Whether a shelf, or what is left of it further in, lies around a centre; the shell is further out where not. */
function isSeen(
  shelf: { ring: ShellRow; centre: { x: number; y: number }; reach: number },
  { x, y }: { x: number; y: number },
): boolean {
  if (shelf.reach >= 0) return true;
  if (shelf.reach === -Infinity) return false;
  const away = Math.hypot(shelf.centre.x - x, shelf.centre.y - y);
  return shelf.ring.radii.every((radius) => radius + shelf.reach > away + LEAST_SEEN);
}

/** A shelf that comes nearer to the middle than this is not looked at any more, mm. */
const LEAST_SEEN = 1;

/** A ring, widened by `reach`, as seen from another centre. */
function seenFrom(
  ring: ShellRow,
  from: { x: number; y: number },
  to: { x: number; y: number },
  reach: number,
): ShellRow {
  const same = Math.hypot(from.x - to.x, from.y - to.y) < 1e-9;
  if (same) return { ...ring, radii: ring.radii.map((radius) => radius + reach) };
  const count = ring.angles.length;
  const angles = new Float64Array(count);
  const radii = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const radius = ring.radii[i] + reach;
    const x = from.x + radius * Math.cos(ring.angles[i]) - to.x;
    const y = from.y + radius * Math.sin(ring.angles[i]) - to.y;
    radii[i] = Math.hypot(x, y);
    const angle = Math.atan2(y, x);
    angles[i] =
      i === 0 ? angle : Math.max(angles[i - 1], angle + TURN * Math.round((angles[i - 1] - angle) / TURN));
  }
  return { angles, us: ring.us, radii };
}

/** A point of a wall's inner face with its position along the outline. */
export interface EdgePoint {
  u: number;
  x: number;
  y: number;
}

/** The inner face of a part on one level, from its first seam to its second, counter-clockwise. */
export function innerChain(grid: Grid, row: WallRow, from: SeamLine, to: SeamLine): EdgePoint[] {
  const j = row.grid;
  const start = from.us[j];
  let end = to.us[j];
  while (end <= start + 1e-9) end += 1;
  const chain: EdgePoint[] = [{ u: start, x: from.x[j], y: from.y[j] }];
  const count = grid.columns.length;
  const wraps = Math.floor(start);
  for (let k = 0; k < 3 * count; k++) {
    const i = k % count;
    const u = grid.columns[i].u + wraps + Math.floor(k / count);
    if (u <= start + NEAR_SEAM) continue;
    if (u >= end - NEAR_SEAM) break;
    const point = { u, x: grid.x[j][i], y: grid.y[j][i] };
    if (!near(point, from, j) && !near(point, to, j)) chain.push(point);
  }
  chain.push({ u: end, x: to.x[j], y: to.y[j] });
  return row.out === 0 ? chain : chain.map((point) => pushOut(grid, row, point));
}

/** A point that all but falls on a seam's edge, without being it, would make a sliver. */
function near(point: EdgePoint, seam: SeamLine, j: number): boolean {
  const gap = Math.hypot(point.x - seam.x[j], point.y - seam.y[j]);
  return gap > 0 && gap < LEAST_GAP;
}

/** A column this near a seam, in u, is taken as the seam itself. */
const NEAR_SEAM = 1e-6;

/**
 * Moves a point of a level until it stands `row.out` outside the outline: at a corner to where the
 * faces on both sides then meet, elsewhere, and where it must stay `onRay`, along its ray. Points of
 * several columns that fall together, as in the fillet of a sharp corner, move together.
 */
export function pushOut(
  grid: Grid,
  row: { out: number; grid: number; centre: { x: number; y: number } },
  point: EdgePoint,
  onRay = false,
): EdgePoint {
  const dx = point.x - row.centre.x;
  const dy = point.y - row.centre.y;
  const length = Math.hypot(dx, dy);
  const x = grid.x[row.grid];
  const y = grid.y[row.grid];
  const here = grid.columns.filter((_, i) => x[i] === point.x && y[i] === point.y).map((column) => column.u);
  const us = here.length > 0 ? here : [point.u - Math.floor(point.u)];
  const normals = us.flatMap((u) =>
    ([-1, 1] as const).map((side): [number, number] => {
      const [nx, ny] = normalOf(grid.form.column(u, side).at(grid.zs[row.grid]));
      const level = Math.hypot(nx, ny);
      return [nx / level, ny / level];
    }),
  );
  const corner = onRay ? null : meeting(normals, row.out);
  if (corner) return { u: point.u, x: point.x + corner[0], y: point.y + corner[1] };
  const facing = normals.map(([nx, ny]) => (nx * dx + ny * dy) / length);
  const step = row.out / Math.min(...facing) / length;
  return { u: point.u, x: point.x + dx * step, y: point.y + dy * step };
}

/** Faces that turn by less do not make a corner: the sine of 3°. */
const CORNER = 0.05;

/** How far the corner of the two faces that turn the most moves when both stand off; null without a corner. */
function meeting(normals: readonly [number, number][], out: number): [number, number] | null {
  let most = CORNER;
  let found: [number, number] | null = null;
  normals.forEach(([ax, ay], i) => {
    for (const [bx, by] of normals.slice(i + 1)) {
      const turn = ax * by - ay * bx;
      if (Math.abs(turn) <= most) continue;
      most = Math.abs(turn);
      found = [(out * (by - ay)) / turn, (out * (ax - bx)) / turn];
    }
  });
  return found;
}
