import type { Quality } from "../../../shared/engine.ts";
import { Form } from "../form/form.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { linesForWall, wallOfLines } from "../kit/printer.ts";
import { SURFACE } from "../tolerances.ts";
import {
  degrees,
  leavingPart,
  letter,
  loosePart,
  loosePegs,
  modelFrame,
  seamName,
  sizes,
} from "./assemble.ts";
import type { BuiltMold, PartChange } from "./build.ts";
import { insideVolume } from "./capacity.ts";
import { buildClay, buildFineClay } from "./clay-solid.ts";
import { COARSE, coarseRows } from "./coarse.ts";
import { backFeet } from "./feet.ts";
import { buildFloor } from "./floor.ts";
import { withChange } from "./change.ts";
import { makeGrid } from "./grid.ts";
import { insetOf } from "./inset.ts";
import { COARSE_SEGMENTS } from "./key-solids.ts";
import { placeKeys, type SeamKeys } from "./keys.ts";
import { layOut, levelsOf } from "./layout.ts";
import { neighboursOf, openMold, plannedOpening, tryOpening, type Opening } from "./opening.ts";
import type { MoldModel, Vec3 } from "./model.ts";
import { inscription, wallMarks } from "./marks.ts";
import { choosePress } from "./press.ts";
import { prySlot } from "./pry.ts";
import { wallRows } from "./rows.ts";
import { clayScale } from "./scale.ts";
import { toolParts } from "./tools.ts";
import { makeSeamFace } from "./seam-face.ts";
import { planBest } from "./seam-search.ts";
import { planSeams } from "./seam-plan.ts";
import { drawSeams, type SeamPlan } from "./seams.ts";
import { refuseUnseen } from "./seen.ts";
import { dilate } from "./shell.ts";
import { withVerdicts } from "./undercut-verdict.ts";
import { baseVents } from "./vents.ts";
import { buildWall } from "./wall.ts";

/** Neighbouring normals of the grid turn by no more than this, radians. */
export const GRID_TURN: Record<Quality, number> = { typing: 0.5, idle: 0.26, export: 0.26 };

/** A mold of level sections that are star-shaped, cut by upright seams: meshed directly, but for its keys. */
export function buildSplit(spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  const start = performance.now();
  const scale = clayScale(spec.body);
  const tolerance = SURFACE[quality];
  const form = new Form(spec.body, scale.cavity);
  refuseUnseen(form, spec);
  const wall = wallOfLines(linesForWall(spec.wall, spec.printer), spec.printer);
  const layout = layOut(spec, form.height, wall);
  const plans = seamPlans(form, spec, wall + spec.flange.width);
  const grid = makeGrid(form, {
    tolerance,
    us: spec.seams.follow === "form" ? plans.map((plan) => plan.u) : [],
    zs: levelsOf(layout, form),
    turn: GRID_TURN[quality],
  });
  const seams = drawSeams(grid, plans);
  const rows = wallRows(grid, dilate(grid, wall), seams, layout);
  const faces = seams.map((seam, i) => makeSeamFace(grid, rows, seam, i, layout));
  // While a maker types, parts are there to be looked at; what is judged stays on the whole grid.
  const coarse = quality === "typing";
  const chord = coarse ? COARSE : 0;
  const drawn = coarse ? coarseRows(grid, rows, faces, layout) : { rows, faces };
  const calls = { body: spec.body.call, mold: spec.call, seams: spec.seams.call };
  const walls = seams.map((_, i) => ({
    name: `wall-${letter(i)}`,
    ...buildWall(grid, drawn.rows, seams, drawn.faces, i, layout, calls, { chord, sockets: [], pegs: [] }),
  }));
  const floor = layout.floor ? [{ name: "floor", ...buildFloor(grid, layout, calls, chord) }] : [];
  const floorChange = floor.map(({ name: part }): PartChange => ({
    part,
    adds: [],
    cuts: spec.vents && !coarse ? baseVents(grid, spec.vents, layout.foot, spec.call) : [],
  }));
  const bare = [...walls, ...floor];
  const vessel = buildClay(bare, spec.body.call);
  const clay = coarse ? buildFineClay(grid, rows, seams, spec.body.call) : vessel;
  const shaped = performance.now();
  const opening = openMold({ grid, seams, faces, walls, floor: floor[0] ?? null, clay, spec });

  const planned = performance.now();
  const keys = seams.map((_, s) => {
    const proud = walls[(s + walls.length - 1) % walls.length].name;
    const hollow = walls[s].name;
    return placeKeys(
      { name: seamName(s), proud, hollow, face: faces[s], ...partingOf(opening, proud, hollow) },
      spec.keys,
      spec.printer,
      layout,
      s === 0,
      coarse ? COARSE_SEGMENTS : undefined,
    );
  });
  const ends = seams.map((_, s) => ({ face: faces[s], number: String(s + 1), keys: keys[s] }));
  const benchCuts = (part: string, i: number) => [
    ...(spec.marks
      ? wallMarks(
          inscription(name, part, scale.total),
          [ends[i], ends[(i + 1) % ends.length]],
          layout,
          spec.call,
        )
      : []),
    ...(spec.pry ? prySlot(faces[i], keys[i], layout, spec.call) : []),
  ];
  const press = spec.press ?? choosePress(grid, spec);
  const feet = (part: string, i: number) =>
    press === "parts" && !coarse
      ? backFeet(
          grid,
          walls[i].mesh,
          [faces[i], faces[(i + 1) % faces.length]],
          opening.parts.get(part)!.pull,
          layout,
          spec.call,
        )
      : [];
  const changes = walls.map((one, i): PartChange => {
    const pegs = keys[(i + 1) % walls.length].keys;
    const sockets = keys[i].keys;
    return {
      part: one.name,
      adds: [...pegs.flatMap((key) => key.peg ?? []), ...feet(one.name, i)],
      cuts: [
        ...sockets.map((key) => key.socket),
        ...pegs.flatMap((key) => key.counter ?? []),
        // While typing, parts are there to be looked at.
        ...(coarse ? [] : benchCuts(one.name, i)),
      ],
    };
  });
  const changed = walls.map((one, i) => {
    if (!coarse) return withChange(one, changes[i]);
    const insets = (solid: "peg" | "socket", of: SeamKeys) =>
      of.keys.flatMap((key) => {
        const shown = key[solid];
        return (shown && insetOf(shown, key.model.at, key.model.axis)) ?? [];
      });
    return buildWall(grid, drawn.rows, seams, drawn.faces, i, layout, calls, {
      chord,
      sockets: insets("socket", keys[i]),
      pegs: insets("peg", keys[(i + 1) % walls.length]),
    });
  });

  const keyedAt = performance.now();
  const opened = (coarse ? plannedOpening : tryOpening)(
    opening,
    new Map([
      ...changed.map(({ mesh }, i) => [walls[i].name, mesh] as const),
      ...floor.map(({ name, mesh }) => [name, mesh] as const),
    ]),
    vessel.mesh,
    neighboursOf(walls.map((wall) => wall.name)),
  );
  const openedAt = performance.now();
  const inside = spec.slab === "solid" ? null : insideVolume(grid, spec.slab, spec.base.slab);
  const model: MoldModel = {
    ...modelFrame(name, spec, scale, wall, tolerance),
    press,
    ...sizes(clay, inside, spec, scale),
    vessel: loosePart("vessel", "vessel", vessel),
    parts: [
      ...changed.map((solid, i) =>
        leavingPart(walls[i].name, "wall", solid, opening.parts.get(walls[i].name)!),
      ),
      ...floor.map((solid, i) =>
        leavingPart("floor", "floor", withChange(solid, floorChange[i]), opening.parts.get("floor")!),
      ),
      ...loosePegs(keys),
      ...toolParts(grid, spec, scale.used, 2 * chord),
    ],
    seams: seams.map((seam, s) => ({
      name: seamName(s),
      parts: [walls[(s + walls.length - 1) % walls.length].name, walls[s].name],
      follow: seam.follow,
      atDeg: degrees(seam.angle),
      curve: grid.zs.map((z, j): Vec3 => [seam.x[j], seam.y[j], z]),
    })),
    keys: keys.flatMap((seam) => seam.keys.map((one) => one.model)),
    moves: opened.moves,
    undercuts: walls.flatMap(({ name: part, mesh }) => {
      const patches = opening.undercuts.filter((patch) => patch.part === part);
      const { pull } = opening.parts.get(part)!;
      // A coarse wall is only there to be looked at.
      return withVerdicts(patches, spec.limits.undercut, coarse ? null : { mesh, pull, clay: clay.mesh });
    }),
  };
  const times = {
    shape: shaped - start,
    opening: planned - shaped + openedAt - keyedAt,
    keys: keyedAt - planned,
  };
  return {
    model,
    spec,
    scale,
    layout,
    grid,
    seams,
    faces,
    opening,
    opened,
    keys,
    bare,
    changes: [...changes, ...floorChange],
    meshed: true,
    whole: null,
    clay,
    times,
  };
}

/** @param reach how far flanges stand out beyond the clay, mm */
function seamPlans(form: Form, spec: MoldSpec, reach: number): readonly SeamPlan[] {
  const { at, pull } = spec.seams;
  if (at !== "best") return planSeams(form, spec.seams, at);
  return planBest(form, spec.seams, { level: pull === "level", up: spec.stand === "foot" ? 1 : -1, reach });
}

/** Pull of whichever of two neighbours leaves first, pointing from the proud part to the hollow one. */
function partingOf(opening: Opening, proud: string, hollow: string): { parting: Vec3; firstToLeave: string } {
  for (const [part, { pull }] of opening.parts) {
    if (part === hollow) return { parting: pull, firstToLeave: part };
    if (part === proud) return { parting: [-pull[0], -pull[1], -pull[2]], firstToLeave: part };
  }
  throw new Error(`neither ${proud} nor ${hollow} is a part`);
}
