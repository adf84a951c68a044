import type { Key } from "../kit/key.ts";
import type { FlatSeam } from "./flat-seam.ts";
import { pointOf } from "./flat-seam.ts";
import { HUMP_SHELF } from "./hump-body.ts";
import type { HumpSurface } from "./hump-surface.ts";
import type { PlacedKey, SeamKeys } from "./keys.ts";
import type { Layout } from "./layout.ts";
import type { Vec3 } from "./model.ts";
import { stacked } from "./revolved.ts";

/** Sides of a tongue widen upwards by this much, so that they let go at once, degrees; and its face. */
const WIDENS = 3;
/** Its sides lean this much from the square to the seam, degrees. */
const LEANS = 20;
/** It stands out by this share of its width at its lower end. */
const STANDS = 0.3;
/** Tongues reach this far into their own half, and cutters out of the plastic, mm. */
const ROOT = 0.5;
/** A shorter tongue than this registers nothing, mm (practice). */
const LEAST_LENGTH = 8;
/** Heights at which the room beside a tongue is looked at. */
const LOOKS = 12;

const tan = (degrees: number) => Math.tan((degrees * Math.PI) / 180);
const sin = (degrees: number) => Math.sin((degrees * Math.PI) / 180);
const cos = (degrees: number) => Math.cos((degrees * Math.PI) / 180);

/**
 * Normals that keep a half on its way out, pointing into it: the seam itself and, of the tongues,
 * their sides and their face.
 *
 * @param first whether it is the half that carries them
 */
export function tongueContacts(seam: FlatSeam, first: boolean): Float64Array {
  const { outwards: x, axis } = seam;
  // Out of a tongue: sideways, a little towards its tip and a little down.
  const sides = [1, -1].map((side): Vec3 => {
    const [level, tip] = [cos(LEANS) * cos(WIDENS), sin(LEANS) * cos(WIDENS)];
    return [side * level * x[0] + tip * axis[0], side * level * x[1] + tip * axis[1], -sin(WIDENS)];
  });
  const face: Vec3 = [cos(WIDENS) * axis[0], cos(WIDENS) * axis[1], -sin(WIDENS)];
  const out = [axis, ...sides, face];
  return Float64Array.from(out.flatMap((n) => (first ? n.map((value) => 0 - value) : n)));
}

/** How far a tongue of a length stands into the other half with its clearance at most, mm. */
export function tongueDepth(spec: Key, length: number): number {
  return STANDS * spec.size + length * tan(WIDENS) + spec.clearance + spec.spread;
}

/**
 * Two tongues of the half that leaves first, upright, from the land under the pot's base down to the
 * underside of the shelf, as far from one another as the hump is wide; one stands out of step.
 *
 * @param section outline of hump and shelf in the seam, its first coordinate outwards and its second up
 */
export function humpTongues(
  section: readonly (readonly [number, number])[][],
  seam: FlatSeam,
  { rings }: HumpSurface,
  layout: Layout,
  spec: Key,
): SeamKeys {
  const bed = layout.height + HUMP_SHELF;
  const base = rings[0].z;
  const grows = (length: number) => length * tan(WIDENS);
  const reachAt = (length: number) => spec.size / 2 + grows(length) + spec.clearance + spec.land;
  // The longest pair that has room, else the longest single one.
  let chosen: { low: number; at: number[] } = { low: bed, at: [] };
  const free = (low: number) => {
    let [left, right] = [-Infinity, Infinity];
    for (let k = 0; k <= LOOKS; k++) {
      const z = low + ((layout.height - low) * k) / LOOKS;
      const [from, to] = stretchAt(section, z);
      const reach = reachAt(z - low);
      left = Math.max(left, from + reach);
      right = Math.min(right, to - reach);
    }
    return { left, right };
  };
  for (let low = base + spec.land; bed - low >= LEAST_LENGTH; low += 1) {
    const { left, right } = free(low);
    const apart = 2 * reachAt(bed - low) - 2 * spec.land + ROOT;
    if (right - left >= apart) {
      const step = Math.min(spec.size, right - left - apart);
      chosen = { low, at: [left, right - step] };
      break;
    }
    if (right >= left && chosen.at.length === 0) chosen = { low, at: [(left + right) / 2] };
  }
  const { low, at } = chosen;
  const length = bed - low;
  const height = STANDS * spec.size;
  const room = spec.clearance + spec.spread;
  const keys = at.map((s, i): PlacedKey => {
    const middle = pointOf(seam, [s, (low + bed) / 2]);
    const profile = (h: number, gap: number, back: number) => {
      const half = spec.size / 2 + grows(h - low) + gap / cos(LEANS);
      const deep = height + grows(h - low) + gap;
      const corners: [number, number][] = [
        [-half - back * tan(LEANS), -back],
        [half + back * tan(LEANS), -back],
        [half - deep * tan(LEANS), deep],
        [-half + deep * tan(LEANS), deep],
      ];
      return { h, corners };
    };
    const frame = { at: pointOf(seam, [s, 0]), axis: [0, 0, 1] as Vec3, side: seam.outwards };
    const solid = (from: number, to: number, gap: number, back: number) =>
      stacked([profile(from, gap, back), profile(to, gap, back)], frame, "key", spec.call);
    // Under the face the tongue keeps its width, so that it does not come out of its own half.
    return {
      model: {
        seam: seam.name,
        proud: seam.proud,
        hollow: seam.hollow,
        shape: "ridge",
        at: middle,
        axis: seam.axis,
        size: spec.size,
        height: height + grows(length / 2),
        clearance: spec.clearance,
        gap: spec.gap,
        outOfStep: i === 1,
      },
      draftDeg: WIDENS,
      peg: solid(low + spec.spread, bed, -spec.spread, ROOT),
      socket: solid(low - room, bed + ROOT, room, ROOT),
      counter: null,
      loose: null,
    };
  });
  return {
    name: seam.name,
    firstToLeave: seam.proud,
    keys,
    wanted: 2,
    tallest: height,
    theta: 90,
    length: Math.max(0, bed - base - spec.land),
    wanting: 0,
  };
}

/** Left and right end of a section at a height. */
function stretchAt(loops: readonly (readonly [number, number])[][], z: number): [number, number] {
  const xs: number[] = [];
  for (const loop of loops)
    loop.forEach(([ax, ay], i) => {
      const [bx, by] = loop[(i + 1) % loop.length];
      if (ay > z !== by > z) xs.push(ax + ((z - ay) / (by - ay)) * (bx - ax));
    });
  return xs.length < 2 ? [0, 0] : [Math.min(...xs), Math.max(...xs)];
}
