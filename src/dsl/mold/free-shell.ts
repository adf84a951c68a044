import type { MoldSpec } from "../kit/mold.ts";
import type { Flat, Scope, Solid } from "../solid/kernel.ts";
import { volumeOf } from "../solid/measure.ts";
import type { Tagged } from "../solid/tagged.ts";
import { offsetSurface } from "../solid/offset-surface.ts";
import { tidy } from "../solid/tidy.ts";
import { intoPlane, outOfPlane, pointOf, type FlatSeam, type SeamPlane } from "./flat-seam.ts";
import type { FreeShape } from "./free-shape.ts";
import { flaresUnder, shelfAt } from "./free-shelf.ts";
import type { Vec3 } from "./model.ts";
import type { Layout } from "./layout.ts";

/** A seam with what lies in its plane; only what is outside its axis belongs to it. */
export interface FreeSeam {
  seam: FlatSeam;
  plane: SeamPlane;
  /** From the axis to the outer edge of its flange, mm. */
  reach: number;
}

/**
 * How a shell is contoured: the step of its field as a share of the wall, how much thicker than the
 * wall it is asked for, so that the chords of its rounded edges keep the wall, how far they may lie from
 * the arc, and by how much it may be simplified; mm.
 */
export interface ShellDetail {
  step: number;
  more: number;
  sag: number;
  chord: number;
}

/** Beside the plane of an opening the shell is contoured this much further, mm. */
const OVER = 0.5;
const FAR = 4000;

/** The cavity dilated by the wall, as one solid without its hollow, from the foot of the mold to its rim. */
export function freeShell(
  scope: Scope,
  { extended }: FreeShape,
  layout: Layout,
  detail: ShellDetail,
  spec: MoldSpec,
): Solid {
  const mesh = offsetSurface(
    scope.mesh(extended).mesh,
    layout.wall + detail.more,
    "outside",
    { step: layout.wall * detail.step, sag: detail.sag },
    [layout.foot - OVER, layout.height + OVER],
  );
  const runs = [{ face: "outside" as const, call: spec.call, start: 0, count: mesh.triangles.length / 3 }];
  return scope.simplified(scope.solid({ mesh, runs }), detail.chord);
}

/** A seam's plane: the clay in it, and the face that its parts share, up to an outer edge parallel to the axis. */
export function freeSeam(
  scope: Scope,
  seam: FlatSeam,
  shape: FreeShape,
  shell: Solid,
  layout: Layout,
): FreeSeam {
  const half = scope.flat([
    [
      [0, -FAR],
      [FAR, -FAR],
      [FAR, FAR],
      [0, FAR],
    ],
  ]);
  const inPlane = (solid: Solid) => scope.section(intoPlane(scope, solid, seam), 0);
  const outside = scope.flatWithin(inPlane(shell), half);
  const widest = scope
    .loops(outside)
    .flat()
    .filter(([, z]) => z > layout.foot - OVER && z < layout.height + OVER)
    .reduce((most, [x]) => Math.max(most, x), 0);
  const reach = widest + layout.flange.width;
  const clay = scope.flatWithin(inPlane(shape.extended), half);
  const whole = scope.flat([faceLoop(reach, layout)]);
  const face = shape.aside ? besideClay(scope, whole, inPlane(shape.aside), clay) : whole;
  return {
    seam,
    reach,
    plane: {
      clay,
      face,
      beyond: shape.beyond ? inPlane(shape.beyond) : null,
    },
  };
}

/** What of a face lies before what is cut off: pieces behind the cut, with no clay in them, are none of it. */
function besideClay(scope: Scope, face: Flat, cut: Flat, clay: Flat): Flat {
  const left = scope.flatWithout(clay, cut);
  // The cut itself is taken from the plastic later, as a solid.
  return scope
    .flatsApart(scope.flatWithout(face, cut))
    .filter((piece) => !(scope.flatWithin(piece, left).area > 0))
    .reduce((rest, piece) => scope.flatWithout(rest, piece), face);
}

/** The face of a seam from its axis outwards, with the seats for bands in its edge. */
function faceLoop(reach: number, { foot, height, bands }: Layout): [number, number][] {
  const seats = bands.at.flatMap((z): [number, number][] => {
    const half = bands.width / 2;
    return [
      [reach, z - half - bands.depth],
      [reach - bands.depth, z - half],
      [reach - bands.depth, z + half],
      [reach, z + half + bands.depth],
    ];
  });
  return [[0, foot], [reach, foot], ...seats, [reach, height], [0, height]];
}

/** Flanges that meet in the axis reach over it by this much, mm: face to face there would be a slit between them. */
const OVER_AXIS = 1;

/** Both flanges of a seam, in the frame of the mold. */
function flangesOf(scope: Scope, { seam, plane }: FreeSeam, thickness: number, spec: MoldSpec): Solid {
  const behind = scope.flat([
    [
      [-OVER_AXIS, -FAR],
      [0, -FAR],
      [0, FAR],
      [-OVER_AXIS, FAR],
    ],
  ]);
  const face = scope.flatBoth(plane.face, scope.flatWithin(scope.grow(plane.face, OVER_AXIS), behind));
  const plate = scope.raise(face, 2 * thickness, { face: "flange", call: spec.call });
  return outOfPlane(scope, scope.move(plate, [0, 0, -thickness]), seam);
}

/**
 * Everything of the mold but its hollow: the shell with its flanges, shelves along level openings, and
 * under flares where it is of one piece; without what lies behind openings.
 */
export function freeOutside(
  scope: Scope,
  shell: Solid,
  shape: FreeShape,
  seams: readonly FreeSeam[],
  layout: Layout,
  spec: MoldSpec,
): Solid {
  const solids = [shell, ...seams.map((one) => flangesOf(scope, one, layout.flange.thickness, spec))];
  if (shape.top !== null) solids.push(...shelfAt(scope, shell, layout.height, -1, layout, spec));
  if (shape.foot !== null) solids.push(...shelfAt(scope, shell, layout.foot, 1, layout, spec));
  if (spec.seams.kind === "whole") solids.push(...flaresUnder(scope, shell, layout, spec));
  const whole = scope.union(solids);
  const within = scope.box([-FAR, -FAR, layout.foot], [FAR, FAR, layout.height], {
    face: "rim",
    call: spec.call,
  });
  const level = scope.intersect(whole, within);
  if (!shape.aside) return level;
  // Of a handle the wide flanges weigh so much that what the snap grid moves them by would show in the proof.
  return scope.solid(tidy(scope.mesh(scope.subtract(level, shape.aside))));
}

/**
 * The plastic of all walls: the outside without the clay, which goes on through its openings, and
 * without the groove of a floor. `whole` is the volume of the closed mold with its clay and floor, mm³.
 */
export function hollowed(
  scope: Scope,
  outside: Solid,
  shape: FreeShape,
  floor: { plate: Tagged; groove: Tagged } | null,
  spec: MoldSpec,
): { plastic: Solid; whole: number } {
  if (!floor) return { plastic: scope.subtract(outside, shape.extended), whole: outside.volume };
  const groove = scope.solid(floor.groove);
  const below = scope.box([-FAR, -FAR, -FAR], [FAR, FAR, shape.foot!], { face: "floor", call: spec.call });
  const under = scope.retag(scope.intersect(shape.extended, below), { face: "floor", call: spec.call });
  const room = scope.union([under, groove]);
  const above = scope.box([-FAR, -FAR, shape.foot!], [FAR, FAR, FAR], { face: "floor", call: spec.call });
  const cut = scope.add(scope.intersect(shape.extended, above), room);
  return {
    plastic: scope.subtract(outside, cut),
    whole: outside.volume - scope.commonVolume(outside, room) + volumeOf(floor.plate.mesh),
  };
}

/** Where the clay meets a seam, from its foot to its rim: its outermost line there. */
export function seamCurve(scope: Scope, { seam, plane }: FreeSeam, shape: FreeShape, layout: Layout): Vec3[] {
  const runs: [number, number][][] = [];
  const isOn = ([x, z]: readonly [number, number]) =>
    x > ON_AXIS && z >= (shape.foot ?? layout.foot) - ON_AXIS && z <= (shape.top ?? layout.height) + ON_AXIS;
  const clay = plane.beyond ? scope.flatWithout(plane.clay, plane.beyond) : plane.clay;
  for (const loop of scope.loops(clay)) {
    const start = loop.findIndex(
      (place, i) => isOn(place) && !isOn(loop[(i + loop.length - 1) % loop.length]),
    );
    if (start < 0) {
      if (isOn(loop[0])) runs.push([...loop, loop[0]]);
      continue;
    }
    let run: [number, number][] = [];
    for (let i = 0; i < loop.length; i++) {
      const place = loop[(start + i) % loop.length];
      if (isOn(place)) run.push(place);
      else if (run.length > 0) {
        runs.push(run);
        run = [];
      }
    }
    if (run.length > 0) runs.push(run);
  }
  const farthest = (run: readonly [number, number][]) => Math.max(...run.map(([x]) => x));
  const outer = runs.reduce<[number, number][]>(
    (best, run) => (best.length === 0 || farthest(run) > farthest(best) ? run : best),
    [],
  );
  const rising = outer.length > 1 && outer[0][1] > outer[outer.length - 1][1] ? [...outer].reverse() : outer;
  return rising.map((place) => pointOf(seam, place));
}

/** Nearer to the axis than this, mm, a line belongs to no seam. */
const ON_AXIS = 1e-3;
