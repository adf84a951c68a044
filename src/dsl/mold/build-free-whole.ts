import type { Quality } from "../../../shared/engine.ts";
import { KitError } from "../kit/error.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { linesForWall, wallOfLines } from "../kit/printer.ts";
import { piecesWith, withoutCrumbs } from "../solid/crumbs.ts";
import { withScope, type Flat, type Scope } from "../solid/kernel.ts";
import { boundsOf } from "../solid/measure.ts";
import type { Tagged } from "../solid/tagged.ts";
import { tidy } from "../solid/tidy.ts";
import { snap } from "../solid/weld.ts";
import { SHELL_MARGIN, SURFACE } from "../tolerances.ts";
import { loosePart, modelFrame, sizes } from "./assemble.ts";
import type { BuiltMold } from "./build.ts";
import { baseOf } from "./free-base.ts";
import { RUN_ON, SHELL } from "./free-detail.ts";
import { withoutEdges } from "./free-pieces.ts";
import { roomOf } from "./free-room.ts";
import { freeShape } from "./free-shape.ts";
import { freeOutside, freeShell, hollowed } from "./free-shell.ts";
import { wholeLayout } from "./layout.ts";
import { liftOff } from "./lift-off.ts";
import { backMarks, inscription } from "./marks.ts";
import { onePiece } from "./one-piece.ts";
import type { Frame } from "./revolved.ts";
import { clayScale } from "./scale.ts";
import { flatVents } from "./vents.ts";

/**
 * A mold of one piece of any body with a closed surface and a level open top. Its shell is that of
 * `buildFree`; it stands on a shelf along its foot while it is filled.
 */
export function buildFreeWhole(spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  return withScope((scope) => buildIn(scope, spec, name, quality));
}

function buildIn(scope: Scope, spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  const start = performance.now();
  const coarse = quality === "typing";
  const scale = clayScale(spec.body);
  const tolerance = SURFACE[quality];
  const wall = wallOfLines(linesForWall(spec.wall, spec.printer), spec.printer);
  const slab = spec.slab === "solid" ? 0 : Math.max(spec.slab, spec.base.slab);
  const closed = spec.base.kind === "closed";
  const margin = Math.max(wall + spec.rim.width, slab) + RUN_ON;
  const shape = freeShape(scope, spec.body, scale.cavity, tolerance, margin, { foot: !closed });
  if (shape.top === null || (!closed && shape.foot === null)) throw noOpening(shape.top === null, spec);
  const claySolid = shape.clay;
  const clay = tidy(scope.mesh(claySolid));
  const { min, max } = scope.bounds(claySolid);
  const layout = wholeLayout(spec, wall, {
    foot: shape.foot ?? snap(min[2] - wall - SHELL_MARGIN),
    height: snap(shape.top),
  });
  const shell = freeShell(scope, shape, layout, SHELL[quality], spec);
  // With a shelf along its foot too: it stands on that.
  const outside = freeOutside(scope, shell, { ...shape, foot: layout.foot }, [], layout, spec);
  const { plastic, whole } = hollowed(scope, outside, shape, null, spec);
  const pieces = piecesWith(withoutCrumbs(tidy(scope.mesh(plastic))), "cavity");
  if (pieces.count > 1) throw fallsApart(pieces.count, spec);
  const bare = pieces.solid;
  const shaped = performance.now();

  const facets = withoutEdges(scope.facets(claySolid, "cavity"), shape);
  const opening = liftOff(facets, clay);
  const opened = performance.now();

  const underside = shape.foot === null ? scope.section(claySolid, min[2] + UNDER) : null;
  const vents =
    underside && spec.vents && !coarse
      ? flatVents(scope, underside, spec.vents, layout.foot, min[2], spec.call)
      : [];
  const marks =
    underside && spec.marks && !coarse
      ? undersideMarks(scope, underside, inscription(name, "", scale.total), layout.foot, spec)
      : [];
  const inWay = (vent: Tagged) => marks.some((mark) => touch(vent, mark));
  const keyed = performance.now();

  const room = roomOf(scope, shape, facets, spec, quality);
  return onePiece({
    frame: {
      ...modelFrame(name, spec, scale, wall, tolerance),
      press: spec.press ?? "closed",
      ...sizes(clay, spec.slab === "solid" ? null : (room?.volume ?? 0), spec, scale),
      vessel: loosePart("vessel", "vessel", clay),
    },
    spec,
    scale,
    layout,
    grid: null,
    whole: whole - pieces.lost,
    room,
    cavity: baseOf(scope, claySolid, { foot: min[2] }, spec),
    axis: { x: (min[0] + max[0]) / 2, y: (min[1] + max[1]) / 2 },
    opening,
    bare,
    change: { part: "whole", adds: [], cuts: [...vents.filter((vent) => !inWay(vent)), ...marks] },
    chord: coarse ? SHELL.typing.chord : 0,
    clay,
    times: {
      shape: shaped - start + performance.now() - keyed,
      opening: opened - shaped,
      keys: keyed - opened,
    },
  });
}

/** The underside of the clay is read this far above it, mm. */
const UNDER = 0.01;
/** From an inscription to a vent, mm. */
const BESIDE = 1;

/** The inscription under the base, where that is widest, read from below. */
function undersideMarks(scope: Scope, outline: Flat, line: string, z: number, spec: MoldSpec): Tagged[] {
  const mirrored = scope.loops(outline).map((loop) => loop.map(([x, y]): [number, number] => [0 - x, y]));
  const frameAt = (x: number, y: number): Frame => ({
    at: [0 - x, y, z],
    axis: [0, 0, -1],
    side: [-1, 0, 0],
  });
  return backMarks(line, mirrored, frameAt, spec.call);
}

/** Whether two upright cuts come near to one another, seen from above. */
function touch(a: Tagged, b: Tagged): boolean {
  const [one, other] = [boundsOf(a.mesh), boundsOf(b.mesh)];
  return [0, 1].every(
    (axis) => one.min[axis] < other.max[axis] + BESIDE && other.min[axis] < one.max[axis] + BESIDE,
  );
}

function noOpening(top: boolean, { seams, call }: MoldSpec): KitError {
  const reason = top
    ? "a mold of one piece is left through a level open top, and this body has none; cut it with split({ parts: 2 })."
    : "this body has no level foot to be open at; leave the base closed.";
  return refused(reason, seams.call, call);
}

function fallsApart(count: number, { seams, call }: MoldSpec): KitError {
  return refused(
    `the mold would fall into ${count} pieces; cut it with split({ parts: 2 }).`,
    seams.call,
    call,
  );
}

function refused(reason: string, seams: number, call: number): KitError {
  return new KitError("kit-conflict", { call: "mold", reason }, { call: seams >= 0 ? seams : call });
}
