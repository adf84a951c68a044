import type { Key } from "../kit/key.ts";
import { wallOfLines, type PrinterSpec } from "../kit/printer.ts";

import { cone, dome, ridge, type KeyShape } from "./key-shape.ts";
import { keySolids, type KeySolids } from "./key-solids.ts";
import { CHAMFER, type Layout } from "./layout.ts";
import type { KeyModel, Vec3 } from "./model.ts";
import type { Frame } from "./revolved.ts";
import type { FacePoint, SeamFace } from "./seam-face.ts";

/** Both sides of a seam and how its first part leaves. */
export interface KeyedSeam {
  name: string;
  /** Part before the seam, with the pegs, and after it, with the sockets. */
  proud: string;
  hollow: string;
  face: SeamFace;
  /** Pull of the part that leaves first, turned so that it points from the proud part to the hollow one. */
  parting: Vec3;
  firstToLeave: string;
}

export interface SeamKeys {
  name: string;
  /** Whether it is the level joint of two rings. */
  joint?: true;
  /** Of the two parts, the one that leaves first. */
  firstToLeave: string;
  keys: PlacedKey[];
  /** How many the seam should have had. */
  wanted: number;
  /** Greatest height that any key could have had here, mm. */
  tallest: number;
  /** Angle between the key's axis and the parting half-way up, degrees. */
  theta: number;
  /** Length of the face beyond the land half-way up, and what it lacks for a key, mm. */
  length: number;
  wanting: number;
}

export interface PlacedKey extends KeySolids {
  model: KeyModel;
  /** Least draft of its flanks along the parting, degrees. */
  draftDeg: number;
}

/** From a key's edge to the flange's edge, mm (practice). */
const EDGE_ROOM = 2;
/** What stays behind a socket, mm (practice). */
const SOCKET_FLOOR = 1.5;
/** A lower key does not register, mm (practice). */
export const LEAST_KEY = 1;
/** A peg's root is sunk this much more than the face is curved, mm. */
const ROOT = 0.5;

/** Places the keys of one seam: at least two, no further apart than the spacing, clear of knife, bands and edges. */
export function placeKeys(
  seam: KeyedSeam,
  spec: Key,
  printer: PrinterSpec,
  layout: Layout,
  first: boolean,
  segments?: number,
): SeamKeys {
  const shapeAt = (z: number): { spot: Spot; shape: KeyShape } | null => {
    const spot = spotOn(seam.face, z, spec, layout);
    if (!spot) return null;
    const shape = shapeFor(spot.axis, seam.parting, spec, layout);
    return shape ? { spot, shape } : null;
  };
  const rim = spec.size / 2 + spec.clearance + Math.max(EDGE_ROOM, wallOfLines(2, printer));
  const low = layout.foot + CHAMFER + rim;
  const high = layout.height - rim;
  const allowed = (z: number) => {
    const found = z >= low && z <= high ? shapeAt(z) : null;
    return (
      found !== null &&
      found.shape.height >= LEAST_KEY &&
      hasRoom(seam.face, z, found.spot, found.shape, spec, layout)
    );
  };
  const { heights, wanted } = chooseHeights(low, high, spec, allowed);
  let outOfStep = -1;
  if (first && heights.length >= 2) {
    // One key stands out of step, so that parts cannot be swapped.
    const candidates = heights.length > 2 ? [1, 2] : [1];
    for (const i of candidates) {
      const moved = [1.25, -1.25, 0.9, -0.9]
        .map((step) => heights[i] + step * spec.size)
        .find(
          (z) => allowed(z) && heights.every((other, k) => k === i || Math.abs(other - z) > 2 * spec.size),
        );
      if (moved === undefined) continue;
      heights[i] = moved;
      outOfStep = i;
      break;
    }
  }
  const keys = heights.map((z, i) => {
    const { spot, shape } = shapeAt(z)!;
    return makeKey(seam, spec, spot, shape, i === outOfStep, segments);
  });
  return {
    name: seam.name,
    firstToLeave: seam.firstToLeave,
    keys,
    wanted,
    ...roomHalfWay(seam, spec, layout),
  };
}

/** What a key half-way up the seam has to go by, whether or not it finds room. */
function roomHalfWay(seam: KeyedSeam, spec: Key, layout: Layout) {
  const z = (layout.foot + layout.height) / 2;
  const reach = socketReach(spec, layout);
  const length = lengthAt(seam.face, z) - spec.land;
  const axis = axisOn(seam.face, z, Math.min(spec.land + reach, lengthAt(seam.face, z)), layout).axis;
  return {
    tallest: shapeFor(axis, seam.parting, spec, layout)?.height ?? 0,
    theta: angleBetween(axis, seam.parting),
    length,
    wanting: 2 * reach + EDGE_ROOM - length,
  };
}

/** Even heights from end to end, each moved to the nearest free place. */
function chooseHeights(
  low: number,
  high: number,
  spec: Key,
  allowed: (z: number) => boolean,
): { heights: number[]; wanted: number } {
  const wanted = Math.max(2, Math.ceil(Math.max(0, high - low) / spec.spacing) + 1);
  let best: number[] = [];
  let bestGap = Infinity;
  for (let count = wanted; count < wanted + 4; count++) {
    const heights: number[] = [];
    for (let i = 0; i < count; i++) {
      const z = low + ((high - low) * i) / (count - 1);
      const free = nearestFree(
        z,
        spec.spacing / 2,
        (at) => allowed(at) && heights.every((other) => Math.abs(other - at) >= 2 * spec.size),
      );
      if (free !== null) heights.push(free);
    }
    heights.sort((a, b) => a - b);
    const gap = Math.max(0, ...heights.slice(1).map((z, i) => z - heights[i]));
    if (
      heights.length > best.length ||
      (heights.length >= 2 && gap < bestGap - 1e-9 && bestGap > spec.spacing)
    ) {
      best = heights;
      bestGap = heights.length >= 2 ? gap : Infinity;
    }
    if (heights.length >= 2 && gap <= spec.spacing + 1e-9) break;
  }
  return { heights: best, wanted };
}

/** Steps in which a key looks for a free place, mm. */
const SEARCH_STEP = 0.5;

function nearestFree(z: number, reach: number, free: (z: number) => boolean): number | null {
  for (let step = 0; step <= reach; step += SEARCH_STEP) {
    if (free(z + step)) return z + step;
    if (step > 0 && free(z - step)) return z - step;
  }
  return null;
}

interface Spot {
  at: Vec3;
  /** Square to the face, from the proud part to the hollow one. */
  axis: Vec3;
  /** Along the level ruling, outwards. */
  outwards: Vec3;
  distance: number;
}

/** The place for a key at a height: as near to the cavity as the land lets it. */
function spotOn(face: SeamFace, z: number, spec: Key, layout: Layout): Spot | null {
  const reach = socketReach(spec, layout);
  const distance = spec.land + reach;
  if (distance > lengthAt(face, z)) return null;
  const at = pointOn(face, z, distance);
  return { at: [at.x, at.y, at.z], ...axisOn(face, z, distance, layout), distance };
}

/** Direction square to the face, from the proud part to the hollow one, and that of the level ruling outwards. */
function axisOn(face: SeamFace, z: number, distance: number, layout: Layout): { axis: Vec3; outwards: Vec3 } {
  const step = 0.5;
  const above = pointOn(face, Math.min(z + step, layout.height), distance);
  const below = pointOn(face, Math.max(z - step, layout.foot), distance);
  const { row } = rowAt(face, z);
  const [start, end] = [face.points[row][0], face.points[row][face.points[row].length - 1]];
  const outwards = unit([end.x - start.x, end.y - start.y, 0]);
  const up: Vec3 = [above.x - below.x, above.y - below.y, above.z - below.z];
  // up × outwards points counter-clockwise, into the part after the seam.
  const axis = unit([
    up[1] * outwards[2] - up[2] * outwards[1],
    up[2] * outwards[0] - up[0] * outwards[2],
    up[0] * outwards[1] - up[1] * outwards[0],
  ]);
  return { axis, outwards };
}

/** Radius that a socket of this key takes at the face at most, mm, once it is printed. */
export function socketReach(spec: Key, layout: Layout): number {
  const most = layout.flange.thickness - SOCKET_FLOOR - spec.clearance;
  const widest = spec.shape === "dome" ? dome(spec.size / 2, 0, spec.clearance, most) : null;
  if (spec.shape === "ridge") return spec.size + 2 * spec.clearance;
  return widest ? widest.socket(0)[0].r : spec.size / 2 + 1.5 * spec.clearance;
}

function shapeFor(axis: Vec3, parting: Vec3, spec: Key, layout: Layout): KeyShape | null {
  return shapeAtAngle(angleBetween(axis, parting), spec, layout.flange.thickness);
}

export function shapeAtAngle(theta: number, spec: Key, flangeThickness: number): KeyShape | null {
  const most = flangeThickness - SOCKET_FLOOR - spec.clearance - spec.spread;
  if (spec.shape === "ridge") return ridge(spec.size, theta, spec.clearance, most, spec.spread);
  return (spec.shape === "dome" ? dome : cone)(spec.size / 2, theta, spec.clearance, most, spec.spread);
}

/** Least angle between a pull and a seam face, degrees, at which these keys are high enough to register; 90 where never. */
export function keyDraft(spec: Key, flangeThickness: number): number {
  let low = 0;
  let high = 90;
  const registers = (draft: number) =>
    (shapeAtAngle(90 - draft, spec, flangeThickness)?.height ?? 0) >= LEAST_KEY;
  if (!registers(high)) return 90;
  while (high - low > 0.01) {
    const middle = (low + high) / 2;
    if (registers(middle)) high = middle;
    else low = middle;
  }
  return high;
}

function hasRoom(face: SeamFace, z: number, spot: Spot, shape: KeyShape, spec: Key, layout: Layout): boolean {
  const rim = shape.socket(0)[0].r;
  // In print the socket's edge and the flange's stand further apart than they are drawn.
  const room = EDGE_ROOM - 2 * spec.spread;
  for (const up of [-1, -0.5, 0, 0.5, 1]) {
    const level = Math.min(layout.height, Math.max(layout.foot, z + up * rim));
    if (lengthAt(face, level) < spot.distance + rim + room - 1e-6) return false;
  }
  return true;
}

function makeKey(
  seam: KeyedSeam,
  spec: Key,
  spot: Spot,
  shape: KeyShape,
  outOfStep: boolean,
  segments?: number,
): PlacedKey {
  const rim = shape.socket(0)[0].r;
  const bulge = curvature(seam.face, spot, rim);
  const frame: Frame = { at: spot.at, axis: spot.axis, side: spot.outwards };
  return {
    model: {
      seam: seam.name,
      proud: seam.proud,
      hollow: seam.hollow,
      shape: spec.shape,
      at: spot.at,
      axis: spot.axis,
      size: spec.size,
      height: shape.height,
      clearance: spec.clearance,
      gap: spec.gap,
      outOfStep,
    },
    draftDeg: shape.taper - angleBetween(spot.axis, seam.parting),
    ...keySolids(shape, frame, seam.parting, spec, bulge + ROOT, segments),
  };
}

/** How far the face leaves its tangent plane within a radius of the spot, mm. */
function curvature(face: SeamFace, spot: Spot, radius: number): number {
  let most = 0;
  for (let k = 0; k < 16; k++) {
    const angle = (k * Math.PI) / 8;
    const p = pointOn(face, spot.at[2] + radius * Math.sin(angle), spot.distance + radius * Math.cos(angle));
    const off =
      (p.x - spot.at[0]) * spot.axis[0] +
      (p.y - spot.at[1]) * spot.axis[1] +
      (p.z - spot.at[2]) * spot.axis[2];
    most = Math.max(most, Math.abs(off));
  }
  return most;
}

/** Length of the ruling on the level z, mm. */
function lengthAt(face: SeamFace, z: number): number {
  const { row, share } = rowAt(face, z);
  const length = (points: FacePoint[]) => {
    const end = points[points.length - 1];
    return Math.hypot(end.x - points[0].x, end.y - points[0].y);
  };
  return length(face.points[row]) * (1 - share) + length(face.points[row + 1]) * share;
}

/** The point of the face at a height and a distance from the cavity; the ruling goes on beyond its end. */
function pointOn(face: SeamFace, z: number, distance: number): FacePoint {
  const { row, share } = rowAt(face, z);
  const along = (points: FacePoint[]) => {
    const [start, end] = [points[0], points[points.length - 1]];
    const length = Math.hypot(end.x - start.x, end.y - start.y);
    const t = distance / length;
    return { x: start.x + (end.x - start.x) * t, y: start.y + (end.y - start.y) * t };
  };
  const a = along(face.points[row]);
  const b = along(face.points[row + 1]);
  return { x: a.x + (b.x - a.x) * share, y: a.y + (b.y - a.y) * share, z };
}

function rowAt(face: SeamFace, z: number): { row: number; share: number } {
  let row = 0;
  while (row + 2 < face.points.length && face.points[row + 1][0].z <= z) row++;
  const from = face.points[row][0].z;
  const to = face.points[row + 1][0].z;
  return { row, share: Math.min(1, Math.max(0, (z - from) / (to - from))) };
}

function unit(v: Vec3): Vec3 {
  const length = Math.hypot(...v);
  return [v[0] / length, v[1] / length, v[2] / length];
}

export function angleBetween(a: Vec3, b: Vec3): number {
  const dot = a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  return (Math.acos(Math.min(1, Math.max(-1, dot / Math.hypot(...a) / Math.hypot(...b)))) * 180) / Math.PI;
}
