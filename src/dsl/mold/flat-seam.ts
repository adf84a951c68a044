import type { Key } from "../kit/key.ts";
import { wallOfLines, type PrinterSpec } from "../kit/printer.ts";
import type { Flat, Scope, Solid } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import { keySolids } from "./key-solids.ts";
import { angleBetween, LEAST_KEY, shapeAtAngle, socketReach, type PlacedKey, type SeamKeys } from "./keys.ts";
import { GUTTER_DEPTH, GUTTER_START, GUTTER_WIDTH, type Layout } from "./layout.ts";
import type { Vec3 } from "./model.ts";

/** An upright plane in which parts meet; in it x points outwards and y up. */
export interface FlatSeam {
  name: string;
  /** Part behind the plane, with the pegs, and before it, with the sockets. */
  proud: string;
  hollow: string;
  /** A point of the plane on z = 0. */
  at: Vec3;
  /** Level, in the plane. */
  outwards: Vec3;
  /** Level, square to the plane, from the proud part to the hollow one. */
  axis: Vec3;
}

const UP: Vec3 = [0, 0, 1];
const against = (v: Vec3): Vec3 => [0 - v[0], 0 - v[1], 0 - v[2]];

/** A solid in the frame of the seam: its plane is z = 0, the proud part lies above it. */
export function intoPlane(scope: Scope, solid: Solid, seam: FlatSeam): Solid {
  const { outwards: x, at } = seam;
  const z = against(seam.axis);
  const rows = [x, UP, z];
  const moved = rows.map((row) => -(row[0] * at[0] + row[1] * at[1] + row[2] * at[2])) as Vec3;
  const column = (i: number): Vec3 => [rows[0][i], rows[1][i], rows[2][i]];
  return scope.place(solid, column(0), column(1), column(2), moved);
}

/** A solid of the seam's frame in the frame of the mold. */
export function outOfPlane(scope: Scope, solid: Solid, seam: FlatSeam): Solid {
  return scope.place(solid, seam.outwards, UP, against(seam.axis), seam.at);
}

export const pointOf = (seam: FlatSeam, [x, y]: readonly [number, number]): Vec3 => [
  seam.at[0] + x * seam.outwards[0],
  seam.at[1] + x * seam.outwards[1],
  seam.at[2] + y,
];

/** What lies in the plane of a seam. */
export interface SeamPlane {
  clay: Flat;
  /** Plastic and clay together. */
  face: Flat;
  /** What is cut away at openings; null for none. */
  beyond: Flat | null;
}

/** The gutter stops this short of openings and of the face's edge, mm. */
const GUTTER_END = 3;
/** A cutter reaches this far through the plane into the air, mm. */
const OVER = 0.5;

/** The squeeze gutter around the clay, to be taken from the hollow part; null where there is no room. */
export function gutterOf(scope: Scope, plane: SeamPlane, seam: FlatSeam, call: number): Tagged | null {
  const outer = scope.grow(plane.clay, GUTTER_START + GUTTER_WIDTH);
  let trench = scope.flatWithout(outer, scope.grow(plane.clay, GUTTER_START));
  trench = scope.flatWithout(trench, scope.flatWithout(outer, scope.grow(plane.face, -GUTTER_END)));
  if (plane.beyond) trench = scope.flatWithout(trench, scope.grow(plane.beyond, GUTTER_END));
  if (!(trench.area > 1)) return null;
  const raised = scope.raise(trench, GUTTER_DEPTH + OVER, { face: "gutter", call });
  const sunk = scope.move(raised, [0, 0, -GUTTER_DEPTH]);
  return scope.mesh(outOfPlane(scope, sunk, seam));
}

/** From a key's edge to the edge of the face, mm (practice). */
const EDGE_ROOM = 2;
const ROOT = 0.5;
/** Steps along the line on which keys stand, mm. */
const STEP = 0.5;

/**
 * Keys in a flat seam, as near to the clay as the knife's land lets them: at least two, no further
 * apart along the clay than the spacing where there is room.
 *
 * @param parting pull of whichever part leaves first, turned so that it points from the proud part to
 *   the hollow one
 */
export function flatKeys(
  scope: Scope,
  plane: SeamPlane,
  seam: FlatSeam,
  spec: Key,
  printer: PrinterSpec,
  layout: Layout,
  firstToLeave: string,
  parting: Vec3 = seam.axis,
  segments?: number,
): SeamKeys {
  const theta = angleBetween(seam.axis, parting);
  const reach = socketReach(spec, layout);
  const room = reach + Math.max(EDGE_ROOM, wallOfLines(2, printer));
  const shape = shapeAtAngle(theta, spec, layout.flange.thickness);
  const within = scope.loops(scope.grow(plane.face, -room));
  const away = plane.beyond ? scope.loops(scope.grow(plane.beyond, room)) : [];
  const line = scope.loops(scope.grow(plane.clay, spec.land + reach));
  const free = ([x, y]: readonly [number, number]) => isWithin(within, x, y) && !isWithin(away, x, y);
  const runs = line.flatMap((loop) => runsAlong(loop, free));
  const places = runs.flatMap((run) => spread(run, spec));
  const chosen = places.filter(
    ([x, y], i) => !places.slice(0, i).some(([ox, oy]) => Math.hypot(x - ox, y - oy) < 2 * spec.size),
  );
  const length = runs.reduce((sum, run) => sum + STEP * run.length, 0);
  const tallest = shape?.height ?? 0;
  const outOfStep = outOfStepOf(chosen, runs, spec);
  const keys =
    shape && tallest >= LEAST_KEY
      ? chosen.map((place, i): PlacedKey => ({
          model: {
            seam: seam.name,
            proud: seam.proud,
            hollow: seam.hollow,
            shape: spec.shape,
            at: pointOf(seam, place),
            axis: seam.axis,
            size: spec.size,
            height: shape.height,
            clearance: spec.clearance,
            gap: spec.gap,
            outOfStep: i === outOfStep,
          },
          draftDeg: shape.taper - theta,
          ...keySolids(
            shape,
            { at: pointOf(seam, place), axis: seam.axis, side: seam.outwards },
            parting,
            spec,
            ROOT,
            segments,
          ),
        }))
      : [];
  return {
    name: seam.name,
    firstToLeave,
    keys,
    wanted: 2,
    tallest,
    theta,
    length,
    wanting: runs.length > 0 ? 0 : 2 * room,
  };
}

type Place = [number, number];

/** Stretches of a loop in even steps on which a key is free to stand. */
function runsAlong(loop: readonly Place[], free: (place: Place) => boolean): Place[][] {
  const samples: Place[] = [];
  loop.forEach(([x, y], i) => {
    const [nx, ny] = loop[(i + 1) % loop.length];
    const steps = Math.max(1, Math.round(Math.hypot(nx - x, ny - y) / STEP));
    for (let k = 0; k < steps; k++) samples.push([x + ((nx - x) * k) / steps, y + ((ny - y) * k) / steps]);
  });
  const start = samples.findIndex((place) => !free(place));
  if (start < 0) return [samples];
  const runs: Place[][] = [];
  let run: Place[] = [];
  for (let i = 0; i < samples.length; i++) {
    const place = samples[(start + i) % samples.length];
    if (free(place)) run.push(place);
    else if (run.length > 0) {
      runs.push(run);
      run = [];
    }
  }
  if (run.length > 0) runs.push(run);
  return runs;
}

/** Even places on a stretch, its ends included. */
function spread(run: readonly Place[], spec: Key): Place[] {
  const length = (run.length - 1) * STEP;
  if (length < 2 * spec.size) return [run[run.length >> 1]];
  const gaps = Math.max(1, Math.ceil(length / spec.spacing));
  return Array.from({ length: gaps + 1 }, (_, i) => run[Math.round(((run.length - 1) * i) / gaps)]);
}

/** Moves one key along its stretch, so that the parts cannot be joined the wrong way round; gives its number. */
function outOfStepOf(places: Place[], runs: readonly Place[][], spec: Key): number {
  for (let i = 1; i < places.length; i++) {
    const run = runs.find((one) => one.includes(places[i]));
    if (!run) continue;
    const from = run.indexOf(places[i]);
    for (const step of [-1.25, 1.25, -0.9, 0.9]) {
      const moved = run.at(from + Math.round((step * spec.size) / STEP));
      if (!moved || from + (step * spec.size) / STEP < 0) continue;
      const clear = places.every(
        ([x, y], k) => k === i || Math.hypot(x - moved[0], y - moved[1]) > 2 * spec.size,
      );
      if (!clear) continue;
      places[i] = moved;
      return i;
    }
  }
  return -1;
}

/** Whether a place lies in a region given by its loops: even-odd. */
export function isWithin(loops: readonly (readonly Place[])[], x: number, y: number): boolean {
  let odd = false;
  for (const loop of loops) {
    loop.forEach(([ax, ay], i) => {
      const [bx, by] = loop[(i + 1) % loop.length];
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) odd = !odd;
    });
  }
  return odd;
}
