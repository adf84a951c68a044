import type { Quality } from "../../../shared/engine.ts";
import { KitError } from "../kit/error.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { linesForWall, wallOfLines } from "../kit/printer.ts";
import { withScope, type Scope } from "../solid/kernel.ts";
import { piecesWith, withoutCrumbs } from "../solid/crumbs.ts";
import { boundsOf } from "../solid/measure.ts";
import type { Tagged } from "../solid/tagged.ts";
import { tidy } from "../solid/tidy.ts";
import { SURFACE } from "../tolerances.ts";
import { degrees, leavingPart, loosePart, loosePegs, modelFrame, sizes } from "./assemble.ts";
import { partingOf } from "./ring-keys.ts";
import type { BuiltMold, PartChange } from "./build.ts";
import { changed, withChange } from "./change.ts";
import { flatKeys, gutterOf } from "./flat-seam.ts";
import { baseOf } from "./free-base.ts";
import { bedEdge } from "./free-bed.ts";
import { bestAngles } from "./free-best.ts";
import { flatSeams, lowestSection, seamAngles, sectorsOf, wedge } from "./free-cut.ts";
import { RUN_ON, SHELL } from "./free-detail.ts";
import { freeFeet } from "./free-feet.ts";
import { floorOf } from "./free-floor.ts";
import { edgeOf, freeLayout } from "./free-layout.ts";
import { fallsApart, freePiece, nothingBetween, standOf, withoutEdges } from "./free-pieces.ts";
import { roomOf, type Room } from "./free-room.ts";
import { freeShape, type FreeShape } from "./free-shape.ts";
import { freeOutside, freeSeam, freeShell, hollowed, seamCurve } from "./free-shell.ts";
import { COARSE_SEGMENTS } from "./key-solids.ts";
import { CHAMFER, FLOOR } from "./layout.ts";
import { inscription, wallMarks } from "./marks.ts";
import { openPieces } from "./open-pieces.ts";
import { floorLeaving, neighboursOf, plannedOpening, tryOpening } from "./opening.ts";
import { pressThrough } from "./press.ts";
import { prySlot } from "./pry.ts";
import { clayScale } from "./scale.ts";
import { sectorFacets, spanOf } from "./sector-facets.ts";
import { toolParts } from "./tools.ts";
import { wallVerdicts } from "./undercut-verdict.ts";
import { flatVents, sideVents } from "./vents.ts";

const FLOOR_NAME = "floor";

/**
 * A mold in upright flat seams of any body with a closed surface: the shell around it comes from a
 * field of distances, and the kernel takes the clay out of it and cuts it at planes through one axis.
 */
export function buildFree(spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  return withScope((scope) => buildIn(scope, spec, name, quality));
}

function buildIn(scope: Scope, spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  const start = performance.now();
  refuseLevels(spec);
  const coarse = quality === "typing";
  const scale = clayScale(spec.body);
  const tolerance = SURFACE[quality];
  const wall = wallOfLines(linesForWall(spec.wall, spec.printer), spec.printer);
  const slab = spec.slab === "solid" ? 0 : Math.max(spec.slab, spec.base.slab);
  const margin = Math.max(wall + spec.flange.width, slab, FLOOR.thickness) + RUN_ON;
  const shape = freeShape(scope, spec.body, scale.cavity, tolerance, margin, {
    foot: spec.base.kind !== "none",
  });
  const claySolid = shape.clay;
  const clay = tidy(scope.mesh(claySolid));
  const lowest = lowestSection(scope, claySolid, spec, scale.cavity);
  const angles = spec.seams.at === "best" ? bestAngles(spec) : seamAngles(spec, lowest, scale.cavity);
  const layout = freeLayout(spec, wall, shape, scope.bounds(claySolid));
  const shell = freeShell(scope, shape, layout, SHELL[quality], spec);
  const seams = flatSeams(angles, lowest).map((seam) => freeSeam(scope, seam, shape, shell, layout));
  const sectors = sectorsOf(angles, lowest);
  const names = seams.map(({ seam }) => seam.hollow);
  const outside = freeOutside(scope, shell, shape, seams, layout, spec);
  const floor = floorOf(scope, shape, layout, spec);
  const { plastic, whole } = hollowed(scope, outside, shape, floor, spec);
  const seamCall = spec.seams.call >= 0 ? spec.seams.call : spec.call;
  // What of the flanges meets no clay, as behind a cut, belongs to no part.
  let lost = 0;
  const walls = sectors.map((sector, i) => {
    const own = wedge(scope, sector, spanOf(sector), layout.foot - RUN_ON, layout.height + RUN_ON, seamCall);
    const part = scope.common(plastic, own);
    if (!part) throw nothingBetween(angles, i, spec);
    const pieces = piecesWith(withoutCrumbs(tidy(scope.mesh(part))), "cavity");
    if (pieces.count === 0) throw nothingBetween(angles, i, spec);
    if (pieces.count > 1) throw fallsApart(angles, i, pieces.count, spec);
    lost += pieces.lost;
    return { name: names[i], inKernel: scope.solid(pieces.solid), own, ...pieces.solid };
  });
  const plate = floor ? [{ name: FLOOR_NAME, ...floor.plate }] : [];
  const facets = withoutEdges(scope.facets(claySolid, "cavity"), shape);
  const room = roomOf(scope, shape, facets, spec, quality);
  const press = spec.press ?? pressFor(room, spec, shape, clay);
  const shaped = performance.now();

  const opening = openPieces(
    walls.map((one, i) => {
      const touched = sectorFacets(facets, sectors[i]);
      if (touched.triangles.length === 0) throw nothingBetween(angles, i, spec);
      return freePiece(
        one.name,
        touched,
        i,
        seams.map(({ seam }) => seam),
        sectors[i],
        floor && { wall: one, plate: floor.plate },
      );
    }),
    clay.mesh,
    standOf(spec, shape),
    spec,
  );
  if (floor) opening.parts.set(FLOOR_NAME, floorLeaving());
  const planned = performance.now();

  const keys = seams.map(({ seam, plane }) => {
    const { parting, firstToLeave } = partingOf(opening, seam.proud, seam.hollow);
    return flatKeys(
      scope,
      plane,
      seam,
      spec.keys,
      spec.printer,
      layout,
      firstToLeave,
      parting,
      coarse ? COARSE_SEGMENTS : undefined,
    );
  });
  const edges = seams.map((one) => edgeOf(one, layout));
  const clayAtFoot = shape.foot === null ? null : scope.section(shape.extended, layout.foot + CHAMFER / 2);
  const changes = walls.map(({ name: part }, i): PartChange => {
    const next = (i + 1) % walls.length;
    const gutter = gutterOf(scope, seams[i].plane, seams[i].seam, spec.call);
    const leaving = opening.parts.get(part)!;
    const vents =
      spec.slab === "solid" && spec.vents
        ? sideVents(leaving, walls[i].mesh, spec.vents, wall, spec.call)
        : [];
    const sides = [edges[i], edges[next]];
    const feet =
      press === "parts" && !coarse ? freeFeet(scope, walls[i], leaving, sides, shape, layout, spec.call) : [];
    const footed = [walls[i].inKernel, ...feet.map((foot) => scope.solid(foot))];
    const ends = [i, next].map((s) => ({ face: edges[s], number: String(s + 1), keys: keys[s] }));
    // While a maker types, parts are there to be looked at.
    const bench = coarse
      ? []
      : [
          ...bedEdge(scope, scope.union(footed), clayAtFoot, layout, spec.call),
          ...vents,
          ...(spec.marks ? wallMarks(inscription(name, part, scale.total), ends, layout, spec.call) : []),
          ...(spec.pry ? prySlot(edges[i], keys[i], layout, spec.call) : []),
        ];
    return {
      part,
      adds: [...keys[next].keys.flatMap((key) => key.peg ?? []), ...feet],
      cuts: [
        ...(gutter ? [gutter] : []),
        ...keys[i].keys.map((key) => key.socket),
        ...keys[next].keys.flatMap((key) => key.counter ?? []),
        ...bench,
      ],
    };
  });
  const floorChange = plate.map(({ name: part }): PartChange => ({
    part,
    adds: [],
    cuts:
      floor && spec.vents && !coarse
        ? flatVents(scope, floor.outline, spec.vents, layout.foot, layout.foot + FLOOR.thickness, spec.call)
        : [],
  }));
  const finished = walls.map(({ inKernel }, i) =>
    withoutCrumbs(changed(scope, inKernel, changes[i], coarse ? SHELL.typing.chord : 0)),
  );
  const keyed = performance.now();

  const opened = (coarse ? plannedOpening : tryOpening)(
    opening,
    new Map([
      ...finished.map(({ mesh }, i) => [names[i], mesh] as const),
      ...plate.map((one) => [one.name, one.mesh] as const),
    ]),
    clay.mesh,
    neighboursOf([names]),
  );
  const openedAt = performance.now();
  const tools = toolParts(
    baseOf(scope, claySolid, shape, spec),
    spec,
    scale.used,
    coarse ? SHELL.typing.chord : 0,
  );
  const equipped = performance.now();
  return {
    model: {
      ...modelFrame(name, spec, scale, wall, tolerance),
      press,
      ...sizes(clay, spec.slab === "solid" ? null : (room?.volume ?? 0), spec, scale),
      vessel: loosePart("vessel", "vessel", clay),
      parts: [
        ...finished.map((solid, i) => leavingPart(names[i], "wall", solid, opening.parts.get(names[i])!)),
        ...plate.map((solid, i) =>
          leavingPart(FLOOR_NAME, "floor", withChange(solid, floorChange[i]), opening.parts.get(FLOOR_NAME)!),
        ),
        ...loosePegs(keys),
        ...tools,
      ],
      seams: seams.map((one, s) => ({
        name: one.seam.name,
        parts: [one.seam.proud, one.seam.hollow],
        follow: "flat",
        atDeg: degrees(angles[s]),
        curve: seamCurve(scope, one, shape, layout),
      })),
      keys: keys.flatMap((seam) => seam.keys.map((one) => one.model)),
      moves: opened.moves,
      undercuts: wallVerdicts(walls, opening, spec.limits.undercut, clay.mesh, coarse),
    },
    spec,
    scale,
    layout,
    grid: null,
    room,
    seams: [],
    faces: [],
    opening,
    opened,
    keys,
    bare: [...walls, ...plate],
    changes: [...changes, ...floorChange],
    meshed: false,
    whole: whole - lost,
    clay,
    times: {
      shape: shaped - start + equipped - openedAt,
      opening: planned - shaped + openedAt - keyed,
      keys: keyed - planned,
    },
  };
}

/** Cross seams follow the rows of a grid, which this body has not. */
function refuseLevels({ seams }: MoldSpec): void {
  if (seams.levels.length === 0) return;
  const reason =
    "cross seams need sections that are seen whole from their middle, and those of this body are not; leave levels out.";
  throw new KitError(
    "kit-conflict",
    { call: "split", reason },
    { call: seams.call, argument: 0, path: ["levels"] },
  );
}

/** Solid clay is pressed into open parts; else as the room inside lets a hand in. */
function pressFor(room: Room | null, spec: MoldSpec, shape: FreeShape, clay: Tagged): "closed" | "parts" {
  if (spec.slab === "solid") return "parts";
  const { min, max } = boundsOf(clay.mesh);
  const open = spec.base.kind === "open" && shape.foot !== null;
  return pressThrough(Math.min(...(room?.widths ?? []), Infinity), max[2] - min[2], spec, open);
}
