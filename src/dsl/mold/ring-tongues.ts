import type { Key } from "../kit/key.ts";
import { withScope, type Scope } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { PlacedKey, SeamKeys } from "./keys.ts";
import { GUTTER_DEPTH, GUTTER_START, GUTTER_WIDTH } from "./layout.ts";
import type { Vec3 } from "./model.ts";
import { stacked } from "./revolved.ts";

/** Flanks of a tongue lean this much from the upright, degrees. */
const LEANS = 20;
/** Its sides open towards the way out by this much, so that they let go at once, degrees. */
const WIDENS = 5;
/** A shorter tongue registers nothing, mm (practice). */
const LEAST_LENGTH = 5;
/** From a tongue to the shelf's edge, mm (practice). */
const EDGE_ROOM = 2;
/** What stays under a groove, mm (practice). */
const GROOVE_FLOOR = 1.5;
/** Roots and cutters reach this far through the face, mm. */
const OVER = 0.5;
/** Grooves run on outwards through whatever foot stands there, mm. */
const OUT = 60;
/** Steps across the way out in which places are looked for, mm. */
const STEP = 1;
/** The gutter stops this short of the edges of a part's face, mm. */
const GUTTER_END = 3;

type Place = readonly [number, number];

const tan = (degrees: number) => Math.tan((degrees * Math.PI) / 180);
const sin = (degrees: number) => Math.sin((degrees * Math.PI) / 180);

/** Two parts of neighbouring rings, one above the other. */
export interface RingJoint {
  name: string;
  /** The one that leaves first, which carries the tongues, and the one with the grooves. */
  proud: string;
  hollow: string;
  /** Height of the cross seam, mm, and which way from the proud part to the hollow one: −1 down, 1 up. */
  z: number;
  way: 1 | -1;
  /** Pull of the part that leaves first. */
  pull: Vec3;
  /** Outline of the cavity on this level. */
  clay: readonly Place[];
  /** Both parts, before anything is put on or taken from them. */
  solids: readonly [Tagged, Tagged];
}

/**
 * What registers one part of a ring on the part under it: two tongues or more that run out along the
 * pull. Their grooves are closed towards the clay and open outwards, and widen that way, so that the
 * part slides off level; strapped together, the parts of a ring hold it from every side. The squeeze
 * gutter along the joint lies in the part with the grooves.
 *
 * @param offset moves all tongues of this joint across the pull, mm, so that a ring fits only one way
 */
export function ringTongues(
  joint: RingJoint,
  spec: Key,
  thickness: number,
  offset: number,
): { keys: SeamKeys; gutter: Tagged | null } {
  return withScope((scope) => {
    const face = commonFace(scope, joint);
    const { z, way, pull, name } = joint;
    const level = Math.hypot(pull[0], pull[1]);
    const t: Vec3 = level > 1e-6 ? [pull[0] / level, pull[1] / level, 0] : [1, 0, 0];
    const across: Place = [-t[1], t[0]];
    const height = thickness - GROOVE_FLOOR - spec.clearance - spec.spread;
    const half = spec.size / 2;
    const room = half + spec.clearance + spec.spread;
    const kept = scope.flatWithout(face, scope.grow(scope.flat([joint.clay]), spec.land));
    const loops = scope.loops(kept);
    const span = (s: number) =>
      [-room, 0, room]
        .map((more) => outermost(loops, t, across, s + more))
        .reduce((a, b) => (a && b ? ([Math.max(a[0], b[0]), Math.min(a[1], b[1])] as const) : null));
    const reach = Math.max(...loops.flat().map(([x, y]) => Math.abs(x * across[0] + y * across[1])), 0);
    const free: { s: number; from: number; to: number }[] = [];
    for (let s = -Math.floor(reach); s <= reach; s += STEP) {
      const run = span(s);
      if (run && run[1] - EDGE_ROOM - run[0] >= LEAST_LENGTH)
        free.push({ s, from: run[0], to: run[1] - EDGE_ROOM });
    }
    const chosen = spread(free, spec, offset);
    const keys = chosen.map(({ s, from, to }): PlacedKey => {
      const middle = (from + to) / 2;
      const point = (along: number): Vec3 => [t[0] * along + across[0] * s, t[1] * along + across[1] * s, z];
      const axis: Vec3 = [0, 0, way];
      const outline = (h: number, gap: number, open: number) => {
        const side = (along: number) =>
          half - gap / Math.cos((LEANS * Math.PI) / 180) + (along - middle) * tan(WIDENS) - h * tan(LEANS);
        const inner = from + gap + h * tan(LEANS);
        const outer = open > 0 ? to + open : to - gap - h * tan(LEANS);
        return {
          h,
          corners: [
            [inner - middle, -side(inner)],
            [outer - middle, -side(outer)],
            [outer - middle, side(outer)],
            [inner - middle, side(inner)],
          ] as [number, number][],
        };
      };
      const frame = { at: point(middle), axis, side: t };
      const looser = -(spec.clearance + spec.spread);
      const foot = outline(0, spec.spread, 0);
      return {
        model: {
          seam: name,
          proud: joint.proud,
          hollow: joint.hollow,
          shape: "ridge",
          at: point(middle),
          axis,
          size: spec.size,
          height,
          clearance: spec.clearance,
          gap: spec.gap,
          outOfStep: offset !== 0,
        },
        draftDeg: draftOf(pull, t, way),
        peg: stacked(
          [{ ...foot, h: -OVER }, foot, outline(height - spec.spread, spec.spread, 0)],
          frame,
          "key",
          spec.call,
        ),
        socket: stacked(
          [outline(-OVER, looser, OUT), outline(height + spec.clearance + spec.spread, looser, OUT)],
          frame,
          "key",
          spec.call,
        ),
        counter: null,
        loose: null,
      };
    });
    const longest = Math.max(0, ...free.map(({ from, to }) => to - from));
    return {
      keys: {
        name,
        firstToLeave: joint.proud,
        keys,
        wanted: 2,
        tallest: height,
        theta: 90,
        length: longest,
        wanting: free.length > 0 ? 0 : LEAST_LENGTH + EDGE_ROOM,
      },
      gutter: gutterOf(scope, joint, face, spec.call),
    };
  });
}

/** The plane on which both parts lie on one another. */
function commonFace(scope: Scope, { z, solids }: RingJoint) {
  const [below, above] = solids;
  return scope.flatBoth(
    scope.section(scope.solid(below), z - NEAR),
    scope.section(scope.solid(above), z + NEAR),
  );
}

/** Sections are taken this far from the joint, mm: within the upright part of both shelves. */
const NEAR = 0.02;

/** The outermost stretch of a region on a line along the way out, beside its middle by `s`; null where there is none. */
function outermost(
  loops: readonly (readonly Place[])[],
  t: Vec3,
  across: Place,
  s: number,
): readonly [number, number] | null {
  const cuts: number[] = [];
  for (const loop of loops)
    loop.forEach((a, i) => {
      const b = loop[(i + 1) % loop.length];
      const [sa, sb] = [a, b].map(([x, y]) => x * across[0] + y * across[1] - s);
      if (sa > 0 === sb > 0) return;
      const share = sa / (sa - sb);
      const [ta, tb] = [a, b].map(([x, y]) => x * t[0] + y * t[1]);
      cuts.push(ta + share * (tb - ta));
    });
  cuts.sort((a, b) => a - b);
  return cuts.length < 2 ? null : [cuts[cuts.length - 2], cuts[cuts.length - 1]];
}

/** As far apart as there is room, no further than the spacing, moved by the offset where that is free too. */
function spread<T extends { s: number }>(free: readonly T[], spec: Key, offset: number): T[] {
  if (free.length === 0) return [];
  const [first, last] = [free[0].s, free[free.length - 1].s];
  const count = last - first < 2 * spec.size ? 1 : Math.max(2, Math.ceil((last - first) / spec.spacing) + 1);
  const wanted = Array.from({ length: count }, (_, i) =>
    count === 1 ? (first + last) / 2 : first + ((last - first) * i) / (count - 1),
  );
  const nearest = (s: number) =>
    free.reduce((best, one) => (Math.abs(one.s - s) < Math.abs(best.s - s) ? one : best));
  const places: T[] = [];
  wanted.forEach((s, i) => {
    // Inwards from the ends, so that it stays free.
    const moved = i === 0 ? s + offset : s;
    const place = nearest(moved);
    if (places.every((other) => Math.abs(other.s - place.s) >= 1.5 * spec.size)) places.push(place);
  });
  return places;
}

/** Least draft of a groove's flanks along the pull, degrees: sides and the end towards the clay. */
function draftOf(pull: Vec3, t: Vec3, way: 1 | -1): number {
  // Out of the groove is against `way`; sides are pushed off outwards too.
  const lift = -way * pull[2];
  const level = pull[0] * t[0] + pull[1] * t[1];
  const lean = Math.cos((LEANS * Math.PI) / 180);
  const side = level * sin(WIDENS) * lean + lift * sin(LEANS);
  const end = level * lean + lift * sin(LEANS);
  return (Math.asin(Math.max(-1, Math.min(1, side, end))) * 180) / Math.PI;
}

/** The squeeze gutter around the clay, in the face of the part with the grooves. */
function gutterOf(scope: Scope, joint: RingJoint, face: ReturnType<Scope["flat"]>, call: number) {
  const clay = scope.flat([joint.clay]);
  const ring = scope.flatWithout(
    scope.grow(clay, GUTTER_START + GUTTER_WIDTH),
    scope.grow(clay, GUTTER_START),
  );
  const trench = scope.flatBoth(ring, scope.grow(face, -GUTTER_END));
  if (!(trench.area > 1)) return null;
  const raised = scope.raise(trench, GUTTER_DEPTH + OVER, { face: "gutter", call });
  // From the face into the hollow part.
  return scope.mesh(scope.move(raised, [0, 0, joint.way < 0 ? joint.z - GUTTER_DEPTH : joint.z - OVER]));
}
