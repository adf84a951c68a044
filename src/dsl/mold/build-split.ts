import type { Quality } from "../../../shared/engine.ts";
import { Form } from "../form/form.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { linesForWall, wallOfLines } from "../kit/printer.ts";
import { GRID_TURN, SURFACE } from "../tolerances.ts";
import { IDENTITY, leavingPart, loosePart, loosePegs, modelFrame, ON_RIM, sizes } from "./assemble.ts";
import type { BuiltMold, PartChange } from "./build.ts";
import { insideVolume } from "./capacity.ts";
import { buildClay, buildFineClay } from "./clay-solid.ts";
import { COARSE, coarseRows } from "./coarse.ts";
import { coarseForm, coarseRings } from "./coarse-rings.ts";
import { buildFloor } from "./floor.ts";
import { withChange } from "./change.ts";
import { makeGrid } from "./grid.ts";
import { insetOf, type Inset } from "./inset.ts";
import type { SeamKeys } from "./keys.ts";
import { layOut, levelsOf } from "./layout.ts";
import { neighboursOf, openRings, plannedOpening, tryOpening, type CoarseClay } from "./opening.ts";
import type { MoldModel } from "./model.ts";
import { choosePress } from "./press.ts";
import { keyRing, ringJoints, seamModels } from "./ring-keys.ts";
import { clayRows, makeRings, ringLayouts } from "./rings.ts";
import { clayScale } from "./scale.ts";
import { toolParts } from "./tools.ts";
import { planBest } from "./seam-search.ts";
import { planSeams } from "./seam-plan.ts";
import { drawSeams, type SeamPlan } from "./seams.ts";
import { dilate } from "./shell.ts";
import { wallVerdicts } from "./undercut-verdict.ts";
import { baseVents } from "./vents.ts";
import { buildWall } from "./wall.ts";

/** A mold of level sections that are star-shaped, cut by upright seams: meshed directly, but for its keys. */
export function buildSplit(spec: MoldSpec, name: string, quality: Quality): BuiltMold {
  const start = performance.now();
  const scale = clayScale(spec.body);
  const tolerance = SURFACE[quality];
  const form = new Form(spec.body, scale.cavity);
  const wall = wallOfLines(linesForWall(spec.wall, spec.printer), spec.printer);
  const layout = layOut(spec, form.height, wall);
  const levels = spec.seams.levels.map((z) => z * scale.cavity);
  const layouts = ringLayouts(layout, levels, spec);
  const plans = seamPlans(form, spec, wall + spec.flange.width);
  const grid = makeGrid(form, {
    tolerance,
    us: spec.seams.follow === "form" ? plans.map((plan) => plan.u) : [],
    zs: layouts.flatMap((one) => levelsOf(one, form)),
    turn: GRID_TURN[quality],
  });
  const rings = makeRings(grid, dilate(grid, wall), plans, layouts);
  // While a maker types, parts are there to be looked at; what is judged stays on the whole grid.
  const coarse = quality === "typing";
  const chord = coarse ? COARSE : 0;
  const calls = { body: spec.body.call, mold: spec.call, seams: spec.seams.call };
  const storeys = rings.map((ring) => {
    const drawn = coarse ? coarseRows(ring.grid, ring.rows, ring.faces, ring.layout) : ring;
    const wallOf = (i: number, insets: { sockets: Inset[]; pegs: Inset[] }) =>
      buildWall(ring.grid, drawn.rows, ring.seams, drawn.faces, i, ring.layout, calls, { chord, ...insets });
    const walls = ring.walls.map((part, i) => ({ name: part, ...wallOf(i, { sockets: [], pegs: [] }) }));
    return { ...ring, wallOf, solids: walls };
  });
  const floor = layout.floor ? [{ name: "floor", ...buildFloor(grid, layout, calls, chord) }] : [];
  const floorChange = floor.map(({ name: part }): PartChange => ({
    part,
    adds: [],
    cuts: spec.vents && !coarse ? baseVents(grid, spec.vents, layout.foot, spec.call) : [],
  }));
  const walls = storeys.flatMap(({ solids }) => solids);
  const bare = [...walls, ...floor];
  const seams = drawSeams(grid, plans);
  const vessel = buildClay(bare, spec.body.call);
  const clay = coarse ? buildFineClay(grid, clayRows(rings), seams, spec.body.call) : vessel;
  const shaped = performance.now();
  const opening = openRings(
    storeys.map(({ grid, seams, faces, solids }) => ({ grid, seams, faces, walls: solids })),
    { floor: floor[0] ?? null, clay, spec, coarse: coarse ? null : coarseClay(form, plans, levels, spec) },
  );

  const planned = performance.now();
  const press = spec.press ?? choosePress(grid, spec);
  const joints = ringJoints(storeys, opening, spec);
  const keyed = storeys.map((ring, r) =>
    keyRing(ring, { spec, name, scale, opening, press, coarse, outOfStep: r === 0 }),
  );
  const changes = keyed.flatMap((one) => one.changes);
  for (const {
    keys: { keys },
    gutter,
    proud,
    hollow,
  } of joints) {
    const change = (part: string) => changes.find((one) => one.part === part)!;
    change(proud).adds.push(...keys.flatMap((key) => key.peg ?? []));
    change(hollow).cuts.push(...keys.map((key) => key.socket), ...(gutter && !coarse ? [gutter] : []));
  }
  const keys = [...keyed.flatMap((one) => one.keys), ...joints.map((joint) => joint.keys)];
  const changed = storeys.flatMap((ring, r) =>
    ring.solids.map((one, i) => {
      const change = changes.find(({ part }) => part === one.name)!;
      if (!coarse || storeys.length > 1) return withChange(one, change);
      const insets = (solid: "peg" | "socket", of: SeamKeys) =>
        of.keys.flatMap((key) => {
          const shown = key[solid];
          return (shown && insetOf(shown, key.model.at, key.model.axis)) ?? [];
        });
      return ring.wallOf(i, {
        sockets: insets("socket", keyed[r].keys[i]),
        pegs: insets("peg", keyed[r].keys[(i + 1) % ring.solids.length]),
      });
    }),
  );

  const keyedAt = performance.now();
  const opened = (coarse ? plannedOpening : tryOpening)(
    opening,
    new Map([
      ...changed.map(({ mesh }, i) => [walls[i].name, mesh] as const),
      ...floor.map(({ name, mesh }) => [name, mesh] as const),
    ]),
    vessel.mesh,
    neighboursOf(storeys.map((ring) => ring.walls)),
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
        leavingPart(
          walls[i].name,
          "wall",
          solid,
          opening.parts.get(walls[i].name)!,
          storeys.find((ring) => ring.walls.includes(walls[i].name))?.layout.bed === "rim"
            ? ON_RIM
            : IDENTITY,
        ),
      ),
      ...floor.map((solid, i) =>
        leavingPart("floor", "floor", withChange(solid, floorChange[i]), opening.parts.get("floor")!),
      ),
      ...loosePegs(keys),
      ...toolParts(grid, spec, scale.used, 2 * chord),
    ],
    seams: [...storeys.flatMap(seamModels), ...joints.map(({ model }) => model)],
    keys: keys.flatMap((seam) => seam.keys.map((one) => one.model)),
    moves: opened.moves,
    undercuts: wallVerdicts(walls, opening, spec.limits.undercut, clay.mesh, coarse),
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
    faces: rings.flatMap(({ faces }) => faces),
    ...(rings.length > 1 ? { rings: rings.map((ring) => ring.walls) } : {}),
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

/** Directions that all hold clay are told apart on a grid with this error, mm; the best of them are measured in truth. */
const TOLD_APART = 0.1;

function coarseClay(
  form: Form,
  plans: readonly SeamPlan[],
  levels: readonly number[],
  { body }: MoldSpec,
): CoarseClay {
  const whole = coarseForm(form, plans, levels, {
    tolerance: TOLD_APART,
    turn: GRID_TURN.typing,
    body: body.call,
  });
  return { clay: whole.clay, rings: coarseRings(whole, levels) };
}

/** @param reach how far flanges stand out beyond the clay, mm */
function seamPlans(form: Form, spec: MoldSpec, reach: number): readonly SeamPlan[] {
  const { at, pull } = spec.seams;
  if (at !== "best") return planSeams(form, spec.seams, at);
  return planBest(form, spec.seams, { level: pull === "level", up: spec.stand === "foot" ? 1 : -1, reach });
}
