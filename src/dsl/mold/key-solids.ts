import type { CallId } from "../../../shared/place.ts";
import type { Key } from "../kit/key.ts";
import type { Tagged } from "../solid/tagged.ts";
import { thinned } from "./coarse.ts";
import type { KeyProfile, KeyShape } from "./key-shape.ts";
import type { Vec3 } from "./model.ts";
import { revolved, stacked, type Frame } from "./revolved.ts";

/** The solids of one key, mold frame. */
export interface KeySolids {
  /** On the proud part; null for loose pegs. */
  peg: Tagged | null;
  /** Taken from the hollow part. */
  socket: Tagged;
  /** Taken from the other part too where the peg is loose. */
  counter: Tagged | null;
  /** The loose peg in its place, to be printed. */
  loose: Tagged | null;
}

/** Facets around a key; fewer where it is only to be looked at. */
export const SEGMENTS = 32;
export const COARSE_SEGMENTS = 8;
const COARSE_PROFILE = 0.15;

/**
 * @param frame `axis` from the proud part to the hollow one
 * @param parting pull of whichever part leaves first, turned so that it points the same way
 * @param sunk how far roots and cutters reach through the face, mm
 */
export function keySolids(
  shape: KeyShape,
  frame: Frame,
  parting: Vec3,
  spec: Key,
  sunk: number,
  segments = SEGMENTS,
): KeySolids {
  const there = alongPull(frame, parting);
  const socket = (at: Frame) => taken(shape, at, sunk, segments, spec.call);
  if (!spec.loose) {
    const peg = shape.levels
      ? stacked(shape.levels.peg(sunk), there, "key", spec.call)
      : revolved(drawn(shape.peg(sunk), segments), there, segments, "key", spec.call);
    return { peg, socket: socket(there), counter: null, loose: null };
  }
  const back = alongPull({ ...frame, axis: turnedRound(frame.axis) }, turnedRound(parting));
  return {
    peg: null,
    socket: socket(there),
    counter: socket(back),
    loose: loosePeg(shape, there, segments, spec.call),
  };
}

function taken(shape: KeyShape, frame: Frame, over: number, segments: number, call: CallId): Tagged {
  return shape.levels
    ? stacked(shape.levels.socket(over), frame, "key", call)
    : revolved(drawn(shape.socket(over), segments), frame, segments, "key", call);
}

/** Two pegs foot to foot, cut flat at their tops so that it stands on the bed. */
function loosePeg(shape: KeyShape, frame: Frame, segments: number, call: CallId): Tagged {
  if (shape.levels) {
    const [, foot, top] = shape.levels.peg(0);
    // Below the face the ridge runs the other way, as the other part leaves the other way.
    const under = {
      h: -top.h,
      corners: [top.corners[1], top.corners[0], top.corners[3], top.corners[2]].map(
        ([x, y]): [number, number] => [-x, y],
      ),
    };
    return stacked([under, foot, top], frame, "key", call);
  }
  const half = shape.peg(0).filter(({ r, h }) => r > 0 && h >= 0);
  const [foot, ...rising] = half.filter(({ h }, i) => i === 0 || h > half[i - 1].h + 1e-6);
  const profile = [...[...rising].reverse().map(({ r, h }) => ({ r, h: -h })), foot, ...rising];
  return revolved(profile, frame, segments, "key", call);
}

/** The frame turned so that its side is the trace of the pull in the face; as it was where the pull is square to it. */
function alongPull(frame: Frame, parting: Vec3): Frame {
  const { axis } = frame;
  const dot = parting[0] * axis[0] + parting[1] * axis[1] + parting[2] * axis[2];
  const trace = parting.map((value, i) => value - dot * axis[i]);
  const length = Math.hypot(trace[0], trace[1], trace[2]);
  if (length < 0.02) return frame;
  return { ...frame, side: [trace[0] / length, trace[1] / length, trace[2] / length] };
}

const turnedRound = (v: Vec3): Vec3 => [-v[0], -v[1], -v[2]];

/** A coarse key keeps its flank and loses the steps of its dome. */
function drawn(profile: KeyProfile, segments: number): KeyProfile {
  if (segments === SEGMENTS) return profile;
  return thinned(
    profile.map(({ r, h }) => ({ x: r, y: h })),
    COARSE_PROFILE,
  ).map(({ x, y }) => ({ r: x, h: y }));
}

/** Turns a loose peg onto the bed: its axis upright; column-major. */
export function pegTurn(axis: Vec3): number[] {
  const across: Vec3 = Math.abs(axis[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0];
  const cross = (a: Vec3, b: Vec3): Vec3 => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ];
  const raw = cross(across, axis);
  const length = Math.hypot(raw[0], raw[1], raw[2]);
  const x: Vec3 = [raw[0] / length, raw[1] / length, raw[2] / length];
  const y = cross(axis, x);
  return [x[0], y[0], axis[0], 0, x[1], y[1], axis[1], 0, x[2], y[2], axis[2], 0, 0, 0, 0, 1];
}
