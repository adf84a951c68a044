import type { MoldSpec } from "../kit/mold.ts";
import { withScope } from "../solid/kernel.ts";
import { boundsOf } from "../solid/measure.ts";
import type { Tagged } from "../solid/tagged.ts";
import { tidy } from "../solid/tidy.ts";
import { snap } from "../solid/weld.ts";
import { IDENTITY, leavingPart, letter } from "./assemble.ts";
import type { LevelCavity } from "./base-cutter.ts";
import type { BuiltMold, PartChange } from "./build.ts";
import { withChange } from "./change.ts";
import type { Grid } from "./grid.ts";
import type { MoldModel, Move } from "./model.ts";
import type { Opening } from "./opening.ts";
import { toolParts } from "./tools.ts";
import { withVerdicts } from "./undercut-verdict.ts";

/** Room between the mold and the pot at the end of its move, mm. */
const CLEAR = 20;

/** What a mold of one piece is made of. */
export interface OnePiece extends Pick<
  BuiltMold,
  "spec" | "scale" | "layout" | "opening" | "clay" | "times"
> {
  /** What its model says besides its parts and how they leave. */
  frame: Omit<MoldModel, "parts" | "seams" | "keys" | "moves" | "undercuts">;
  /** Null where the kernel made it; `whole` is then the volume of the closed mold with the clay in it, mm³. */
  grid: Grid | null;
  whole?: number;
  room?: BuiltMold["room"];
  /** What the outlines of cutters are read from. */
  cavity: Grid | LevelCavity;
  /** Where pieces that are glued meet, mm. */
  axis: { x: number; y: number };
  /** The piece before its `change`. */
  bare: Tagged;
  change: PartChange;
  /** Curves of tools may be drawn with chords this far off, mm. */
  chord: number;
  /** How it lies on the bed; as it stands if not said. */
  bedTurn?: number[];
}

/** A mold of one piece, in as many as it is glued from for good: they leave as one, in the way of `wall-a`. */
export function onePiece(given: OnePiece): BuiltMold {
  const { frame, cavity, axis, bare, change, chord, bedTurn = IDENTITY, ...rest } = given;
  const { spec, scale } = rest;
  const leaving = rest.opening.parts.get("wall-a")!;
  const pieces = cutForGlue(withChange(bare, change, chord), axis, spec);
  const names = pieces.map((_, i) => `wall-${letter(i)}`);
  const { min, max } = boundsOf(bare.mesh);
  const mm = Math.ceil((max[2] - min[2] + CLEAR) / 10) * 10;
  const moves = names.map((part, i): Move => ({
    part,
    direction: leaving.pull,
    mm,
    against: names.slice(i + 1),
  }));
  const opening: Opening = {
    parts: new Map(names.map((part) => [part, leaving])),
    undercuts: rest.opening.undercuts,
  };
  return {
    ...rest,
    model: {
      ...frame,
      parts: [
        ...pieces.map((solid, i) => leavingPart(names[i], "wall", solid, leaving, bedTurn)),
        ...toolParts(cavity, spec, scale.used, 2 * chord),
      ],
      seams: [],
      keys: [],
      moves,
      undercuts: withVerdicts(opening.undercuts, spec.limits.undercut, null),
    },
    room: rest.room ?? null,
    seams: [],
    faces: [],
    opening,
    // Nothing is in the way of what leaves as one.
    opened: { moves, stuck: [] },
    keys: [],
    bare: [{ name: "whole", ...bare }],
    changes: [change],
    meshed: rest.grid !== null,
    whole: rest.whole ?? null,
  };
}

/** The mold in as many pieces as it is glued from, cut at upright planes through its axis. */
function cutForGlue(whole: Tagged, axis: { x: number; y: number }, spec: MoldSpec): Tagged[] {
  const { glue } = spec.seams;
  if (glue === 1) return [whole];
  const { min, max } = boundsOf(whole.mesh);
  const [x, y] = [snap(axis.x), snap(axis.y)];
  const spare = 10;
  const xs = glue === 4 ? [min[0] - spare, x, max[0] + spare] : [min[0] - spare, max[0] + spare];
  const ys = [min[1] - spare, y, max[1] + spare];
  const tag = { face: "seam", call: spec.seams.call } as const;
  return withScope((scope) => {
    const solid = scope.solid(whole);
    const pieces: Tagged[] = [];
    for (let j = 0; j + 1 < ys.length; j++) {
      for (let i = 0; i + 1 < xs.length; i++) {
        const box = scope.box([xs[i], ys[j], min[2] - spare], [xs[i + 1], ys[j + 1], max[2] + spare], tag);
        pieces.push(tidy(scope.mesh(scope.intersect(solid, box))));
      }
    }
    return pieces;
  });
}
