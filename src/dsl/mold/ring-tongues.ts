import type { Key } from "../kit/key.ts";
import { withScope, type Scope } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import { LEAST_KEY, type PlacedKey, type SeamKeys } from "./keys.ts";
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
 * @param flange its thickness, and what stays between a groove and the edge of its part, mm
 * @param outOfStep one tongue stands aside or is narrower, so that a ring fits only one way
 */
export function ringTongues(
  joint: RingJoint,
  spec: Key,
  flange: { thickness: number; edge: number },
  outOfStep: boolean,
): { keys: SeamKeys; gutter: Tagged | null } {
  return withScope((scope) => {
    const face = commonFace(scope, joint);
    const { z, way, pull, name } = joint;
    const level = Math.hypot(pull[0], pull[1]);
    const t: Vec3 = level > 1e-6 ? [pull[0] / level, pull[1] / level, 0] : [1, 0, 0];
    const across: Place = [-t[1], t[0]];
    const height = flange.thickness - GROOVE_FLOOR - spec.clearance - spec.spread;
    const room = spec.size / 2 + spec.clearance + spec.spread;
    const kept = scope.flatWithout(
      scope.grow(face, -flange.edge),
      scope.grow(scope.flat([joint.clay]), spec.land),
    );
    const loops = scope.loops(kept);
    const reach = Math.max(...loops.flat().map(([x, y]) => Math.abs(x * across[0] + y * across[1])), 0);
    const free: Free[] = [];
    let deepest = 0;
    for (let s = -Math.floor(reach); s <= reach; s += STEP) {
      const run = runAt(loops, t, across, s, { room, edge: Math.max(0, EDGE_ROOM - flange.edge) });
      if (!run) continue;
      deepest = Math.max(deepest, run.length);
      if (run.length >= LEAST_LENGTH) free.push({ s, ...shortened(run, 2 * spec.size, room) });
    }
    const chosen = height >= LEAST_KEY ? spread(free, spec, outOfStep) : [];
    const keys = chosen.map(({ place: { s, inner, outer }, narrower, apart }): PlacedKey => {
      const middle = (inner.at + outer.at) / 2;
      const point = (along: number): Vec3 => [t[0] * along + across[0] * s, t[1] * along + across[1] * s, z];
      const axis: Vec3 = [0, 0, way];
      const half = (spec.size / 2) * narrower;
      // Its width is what was asked for where it is widest, at the corner furthest out.
      const widest = outer.at - middle + Math.abs(outer.slope) * half;
      /** Corners on a level of the tongue, all of them linear in its height, so that the flanks are flat. */
      const outline = (h: number, gap: number, open: number) => {
        const side = half - gap / Math.cos((LEANS * Math.PI) / 180) - h * tan(LEANS);
        const back = gap + h * tan(LEANS);
        const from = inner.at - middle + back * slantOf(inner);
        const to = outer.at - middle + (open > 0 ? open : -back * slantOf(outer));
        // Seen along the axis of a tongue that points down, left and right change places.
        const corner = (start: number, own: number, hand: 1 | -1): [number, number] => {
          const slope = way * own;
          const y = (hand * (side + (start - widest) * tan(WIDENS))) / (1 - hand * slope * tan(WIDENS));
          return [start + slope * y, y];
        };
        return {
          h,
          corners: [
            corner(from, inner.slope, -1),
            corner(to, outer.slope, -1),
            corner(to, outer.slope, 1),
            corner(from, inner.slope, 1),
          ],
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
          size: spec.size * narrower,
          height,
          clearance: spec.clearance,
          gap: spec.gap,
          outOfStep: apart,
        },
        draftDeg: draftOf(pull, t, way, inner.slope),
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
    return {
      keys: {
        name,
        joint: true,
        firstToLeave: joint.proud,
        keys,
        wanted: 2,
        tallest: height,
        theta: 90,
        length: deepest,
        wanting: Math.max(0, LEAST_LENGTH - deepest),
      },
      gutter: gutterOf(scope, joint, face, spec.call),
    };
  });
}

/** One end of a tongue: where it crosses the tongue's middle, mm along the way out, and how it slants. */
interface End {
  at: number;
  slope: number;
}

/** Room for a tongue beside the middle of its part by `s`: from the knife's land to the edge of the shelf. */
interface Run {
  inner: End;
  outer: End;
  /** Of its shorter side, mm. */
  length: number;
}

type Free = Run & { s: number };

/** The outer stretch of a run, no longer than it takes: as long as a ridge on a seam. */
function shortened(run: Run, most: number, room: number): Run {
  if (run.length <= most) return run;
  const { inner, outer } = run;
  const start: End = { at: outer.at - most, slope: outer.slope };
  const within = [-room, room].every((y) => start.at + start.slope * y >= inner.at + inner.slope * y);
  return within ? { inner: start, outer, length: most } : run;
}

/** A tongue's room is looked at on so many lines. */
const LINES = [-1, -0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75, 1];
/** Ends follow clay and shelf up to this slope: past it a tongue would be all corner. */
const MOST_SLOPE = 1;

const slantOf = ({ slope }: End) => Math.hypot(1, slope);

/**
 * The room of a tongue whose sides stand `room` from its middle, and which ends `edge` short of the
 * shelf's; its ends slant as clay and shelf do.
 */
function runAt(
  loops: readonly (readonly Place[])[],
  t: Vec3,
  across: Place,
  s: number,
  { room, edge }: { room: number; edge: number },
): Run | null {
  const lines = LINES.map((share) => outermost(loops, t, across, s + share * room));
  const [first, last] = [lines[0], lines[lines.length - 1]];
  if (!first || !last) return null;
  const end = (i: 0 | 1): End | null => {
    const slope = Math.min(MOST_SLOPE, Math.max(-MOST_SLOPE, (last[i] - first[i]) / (2 * room)));
    let at = i === 0 ? -Infinity : Infinity;
    for (let k = 0; k < LINES.length; k++) {
      const line = lines[k];
      if (!line) return null;
      const own = line[i] - slope * LINES[k] * room;
      at = i === 0 ? Math.max(at, own) : Math.min(at, own - edge * Math.hypot(1, slope));
    }
    return { at, slope };
  };
  const [inner, outer] = [end(0), end(1)];
  if (!inner || !outer) return null;
  const lengthAt = (y: number) => outer.at + outer.slope * y - inner.at - inner.slope * y;
  return { inner, outer, length: Math.max(0, Math.min(lengthAt(-room), lengthAt(room))) };
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

/** Middles of neighbouring tongues stand this many widths from one another at least. */
const LEAST_APART = 1.25;
/** The tongue out of step stands this many widths further in, or less where there is less room. */
const ASIDE = [0.6, 0.45, 0.3];
/** Where there is no room for that it is this much narrower: another part's tongue does not enter its groove. */
const NARROWER = 0.7;

interface Chosen {
  place: Free;
  /** Share of the width. */
  narrower: number;
  /** Whether it is the one out of step. */
  apart: boolean;
}

/** As far apart as there is room, no further than the spacing; where asked, the first is out of step. */
function spread(free: readonly Free[], spec: Key, outOfStep: boolean): Chosen[] {
  if (free.length === 0) return [];
  const [first, last] = [free[0].s, free[free.length - 1].s];
  const least = LEAST_APART * spec.size;
  const count = last - first < least ? 1 : Math.max(2, Math.ceil((last - first) / spec.spacing) + 1);
  const nearest = (s: number) =>
    free.reduce((best, one) => (Math.abs(one.s - s) < Math.abs(best.s - s) ? one : best));
  const places: Free[] = [];
  for (let i = 0; i < count; i++) {
    const place = nearest(count === 1 ? (first + last) / 2 : first + ((last - first) * i) / (count - 1));
    if (places.every((other) => Math.abs(other.s - place.s) >= least)) places.push(place);
  }
  const chosen = places.map((place): Chosen => ({ place, narrower: 1, apart: false }));
  if (!outOfStep) return chosen;
  const [own, ...others] = places;
  const moved = ASIDE.map((widths) => free.find(({ s }) => s >= own.s + widths * spec.size)).find(
    (place) =>
      place !== undefined &&
      place.s - own.s < spec.size &&
      others.every((other) => other.s - place.s >= least),
  );
  chosen[0] = { place: moved ?? own, narrower: moved ? 1 : NARROWER, apart: true };
  return chosen;
}

/** Least draft of a groove's flanks along the pull, degrees: sides and the end towards the clay. */
function draftOf(pull: Vec3, t: Vec3, way: 1 | -1, slope: number): number {
  // Out of the groove is against `way`; sides are pushed off outwards too.
  const lift = -way * pull[2];
  const level = pull[0] * t[0] + pull[1] * t[1];
  const lean = Math.cos((LEANS * Math.PI) / 180);
  const side = level * sin(WIDENS) * lean + lift * sin(LEANS);
  const end = (level / Math.hypot(1, slope)) * lean + lift * sin(LEANS);
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
