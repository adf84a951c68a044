import type { Finding, Fix } from "../../../shared/finding.ts";
import type { Facets } from "../leaving/facets.ts";
import { crossLevels, leavesKeysRoom, withLevel } from "../mold/level-advice.ts";
import type { BuiltMold } from "../mold/build.ts";
import type { Vec3 } from "../mold/model.ts";
import { angleOf, hundredth, tenth } from "./numbers.ts";
import { apart } from "./places.ts";

/** Share of the total shrinkage that is drying, for a clay of which only the total is known (practice). */
const DRYING_SHARE = 0.5;
/** Places by which the rest point is found; more would not move it by the width of a slab. */
const MOST_PLACES = 1500;

export interface Place {
  at: Vec3;
  normal: Vec3;
}

/**
 * Clay that shrinks against the mold instead of letting go of it. One finding, with its worst places.
 * A ring that does not stand on the board is slackened and taken off by itself, so that what it
 * touches shrinks to wherever it likes.
 */
export function clayGrips(built: BuiltMold): Finding[] {
  const { spec, scale, model, opening } = built;
  const clay = spec.body.shrinkings.at(-1)?.clay;
  const drying = clay?.drying ?? scale.total * DRYING_SHARE;
  const shrunk = drying * scale.release;
  const limit = spec.limits.grip;
  const touched = model.parts.flatMap((part) => {
    const facets = part.role === "wall" ? opening.parts.get(part.name)?.clay : undefined;
    return facets && facets.positions.length > 0 ? [{ part: part.name, facets }] : [];
  });
  if (shrunk === 0 || touched.length === 0) return [];
  const grips = restingGroups(built, touched).flatMap(({ members, rest }) =>
    members.flatMap(({ part, facets }) =>
      placesOf(facets).flatMap((place) => {
        const grip = shrunk * leanOf(place, rest);
        return grip > limit ? [{ at: place.at, part, grip }] : [];
      }),
    ),
  );
  grips.sort((a, b) => b.grip - a.grip);
  const worst = grips.at(0);
  if (!worst) return [];
  const { at, part } = worst;
  return [
    {
      code: "clay-grips",
      severity: "warning",
      args: {
        part,
        grip: hundredth(worst.grip),
        limit,
        z: Math.round(at[2]),
        angle: angleOf(at),
        percent: tenth(100 * shrunk),
      },
      target: { call: spec.body.call },
      fixes: crossSeams(
        built,
        touched.flatMap(({ facets }) => placesOf(facets)),
        shrunk,
        worst.grip,
      ),
      mold: model.name,
      part,
      value: hundredth(worst.grip),
      limit,
      unit: "mm",
      at,
      places: apart(grips.map((one) => one.at)),
    },
  ];
}

interface Touched {
  part: string;
  facets: Facets;
}

/** Parts whose clay shrinks together, with the point that it shrinks to. */
function restingGroups(
  { spec, model, rings }: BuiltMold,
  touched: readonly Touched[],
): { members: readonly Touched[]; rest: Vec3 }[] {
  if (spec.side === "inside") {
    const places = few(touched.flatMap(({ facets }) => placesOf(facets)));
    return [{ members: touched, rest: restOnHump(places, model.wet.size).rest }];
  }
  const board = boardOf(spec, model.wet.size[2]);
  const groups = rings ?? [touched.map(({ part }) => part)];
  const standing = spec.stand === "foot" ? 0 : groups.length - 1;
  return groups.map((names, r) => {
    const members = touched.filter(({ part }) => names.includes(part));
    const places = few(members.flatMap(({ facets }) => placesOf(facets)));
    return { members, rest: restOn(places, r === standing ? board : null).rest };
  });
}

/** Height of the board that the pot rests on, mm; null for clay between two halves: it lies in one of them. */
function boardOf({ seams, stand }: BuiltMold["spec"], height: number): number | null {
  if (seams.kind === "halves") return null;
  return stand === "rim" ? height : 0;
}

const few = <T>(places: readonly T[]): T[] => {
  const step = Math.ceil(places.length / MOST_PLACES);
  return places.filter((_, i) => i % step === 0);
};

const placesOf = (facets: Facets): Place[] =>
  Array.from({ length: facets.positions.length / 3 }, (_, i) => placeAt(facets, i));

/**
 * Cross seams that give what grips a ring of its own: one no larger than it takes and, where that ring
 * has no room for its keys, one that has; none where none lets go.
 */
function crossSeams(built: BuiltMold, places: readonly Place[], shrunk: number, grip: number): Fix[] {
  const { spec, scale, model, grid } = built;
  const { seams, limits, stand } = spec;
  if (seams.call < 0 || seams.kind !== "seams" || !grid || built.seams.length === 0) return [];
  const board = boardOf(spec, model.wet.size[2]);
  const some = few(places);
  const tried = crossLevels({ body: spec.body, levels: seams.levels }).flatMap((value) => {
    const levels = withLevel(seams.levels, value);
    const ends = [-Infinity, ...levels.map((z) => z * scale.cavity), Infinity];
    const standing = stand === "foot" ? 0 : levels.length;
    const lean = Math.max(
      ...ends.slice(1).map((top, r) => {
        const own = some.filter(({ at }) => at[2] >= ends[r] && at[2] <= top);
        return own.length > 0 ? restOn(own, r === standing ? board : null).lean : 0;
      }),
    );
    return shrunk * lean <= limits.grip ? [{ value, levels, grip: shrunk * lean }] : [];
  });
  // Counted from the end that is free.
  const lowest = stand === "foot" ? tried.reverse() : tried;
  const room = ({ value, levels }: (typeof tried)[number]) => leavesKeysRoom(spec, levels, value);
  const offered = new Set([lowest.at(0), lowest.find(room)].filter((one) => one !== undefined));
  return [...offered].map((one, i): Fix => ({
    title: "fix-cross-seam",
    args: { value: one.value, before: hundredth(grip), after: hundredth(one.grip) },
    change: { kind: "setOption", call: seams.call, argument: 0, path: ["levels"], value: one.levels },
    ...(i > 0 && { lastResort: true }),
  }));
}

function placeAt({ positions: p, normals: n }: Facets, i: number): Place {
  return {
    at: [p[3 * i], p[3 * i + 1], p[3 * i + 2]],
    normal: [n[3 * i], n[3 * i + 1], n[3 * i + 2]],
  };
}

/** How far a place is pressed against the mold for each unit of shrinkage towards `rest`, mm; 0 where it lets go. */
export function leanOf({ at, normal }: Place, rest: Vec3): number {
  const [x, y, z] = [at[0] - rest[0], at[1] - rest[1], at[2] - rest[2]];
  return Math.max(0, -(x * normal[0] + y * normal[1] + z * normal[2]));
}

/**
 * The point towards which clay on a hump shrinks with the least worst lean. No board holds it: as it
 * tightens it creeps down a slope, so the point may lie anywhere on the way in which it is lifted.
 */
export function restOnHump(places: readonly Place[], size: Vec3): { rest: Vec3; lean: number } {
  const most = Math.max(...size);
  let best = restOn(places, 0);
  // The worst lean is convex along this way too.
  let height = 0;
  for (let step = FAR_APEX * most; step > LEAST_CREEP && best.lean > 0;) {
    const [lower, higher] = [height - step, height + step].map((z) => ({ z, ...restOn(places, z) }));
    const next = lower.lean <= higher.lean ? lower : higher;
    if (next.lean < best.lean - 1e-9) {
      best = next;
      height = next.z;
    } else step /= 2;
  }
  return best;
}

/** A cone of 1° has its apex this many of its radii below: steeper walls hold clay wherever it rests. */
const FAR_APEX = 57;
const LEAST_CREEP = 0.5;

/**
 * The point at which the worst lean is least, by a pattern search, the worst lean being convex in it.
 *
 * @param board height on which it lies, mm; null where it may be anywhere
 */
export function restOn(places: readonly Place[], board: number | null): { rest: Vec3; lean: number } {
  const worst = (rest: Vec3) => places.reduce((most, place) => Math.max(most, leanOf(place, rest)), 0);
  const middle = [0, 1, 2].map(
    (axis) => places.reduce((sum, place) => sum + place.at[axis], 0) / places.length,
  ) as Vec3;
  let rest: Vec3 = board === null ? middle : [middle[0], middle[1], board];
  const axes = board === null ? [0, 1, 2] : [0, 1];
  let lean = worst(rest);
  for (let step = 16; step > 0.05 && lean > 0;) {
    const tried = axes.flatMap((axis) =>
      [step, -step].map((way) => {
        const at = rest.map((value, i) => (i === axis ? value + way : value)) as Vec3;
        return { at, lean: worst(at) };
      }),
    );
    const best = tried.reduce((a, b) => (b.lean < a.lean ? b : a));
    if (best.lean < lean - 1e-9) ({ at: rest, lean } = best);
    else step /= 2;
  }
  return { rest, lean };
}
