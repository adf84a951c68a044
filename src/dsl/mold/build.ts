import type { Quality } from "../../../shared/engine.ts";
import { plasticDensity, firedMassFraction } from "../clay/density.ts";
import { Form } from "../form/form.ts";
import type { Mold, MoldSpec } from "../kit/mold.ts";
import { linesForWall, wallOfLines } from "../kit/printer.ts";
import { withScope } from "../solid/kernel.ts";
import { boundsOf, volumeOf } from "../solid/measure.ts";
import { tidy } from "../solid/tidy.ts";
import { SURFACE } from "../tolerances.ts";
import { buildBaseCutter } from "./base-cutter.ts";
import { insideVolume } from "./capacity.ts";
import { buildClay } from "./clay-solid.ts";
import { buildFloor } from "./floor.ts";
import { makeGrid, type Grid } from "./grid.ts";
import { placeKeys, type SeamKeys } from "./keys.ts";
import { layOut, levelsOf, type Layout } from "./layout.ts";
import { openMold, type Opening } from "./opening.ts";
import type { MoldModel, MoldPart, Vec3 } from "./model.ts";
import { choosePress } from "./press.ts";
import { wallRows } from "./rows.ts";
import { clayScale, type ClayScale } from "./scale.ts";
import { makeSeamFace, type SeamFace } from "./seam-face.ts";
import { planBest } from "./seam-search.ts";
import { planSeams } from "./seam-plan.ts";
import { drawSeams, type SeamLine, type SeamPlan } from "./seams.ts";
import { dilate } from "./shell.ts";
import { buildWall } from "./wall.ts";
import type { Tagged } from "../solid/tagged.ts";

/** A mold with everything that the checks, the proof and the files need to know about it. */
export interface BuiltMold {
  model: MoldModel;
  spec: MoldSpec;
  scale: ClayScale;
  layout: Layout;
  grid: Grid;
  seams: SeamLine[];
  faces: SeamFace[];
  opening: Opening;
  /** By seam. */
  keys: SeamKeys[];
  /** Walls, then the floor, as they were before keys: what the contact proof is about. */
  bare: (Tagged & { name: string })[];
  clay: Tagged;
  /** How long each stage took, ms. */
  times: { shape: number; opening: number; keys: number };
}

/** Neighbouring normals of the grid turn by no more than this, radians. */
const GRID_TURN: Record<Quality, number> = { typing: 0.5, idle: 0.26, export: 0.26 };

/** Computes the whole mold, wet size, mold frame. The kernel must be loaded. */
export function buildMold(mold: Mold, name: string, quality: Quality): BuiltMold {
  const start = performance.now();
  const { spec } = mold;
  const scale = clayScale(spec.body);
  const tolerance = SURFACE[quality];
  const form = new Form(spec.body, scale.cavity);
  const wall = wallOfLines(linesForWall(spec.wall, spec.printer), spec.printer);
  const layout = layOut(spec, form.height, wall);
  const plans = seamPlans(form, spec);
  const grid = makeGrid(form, {
    tolerance,
    us: spec.seams.follow === "form" ? plans.map((plan) => plan.u) : [],
    zs: levelsOf(layout, form),
    turn: GRID_TURN[quality],
  });
  const seams = drawSeams(grid, plans);
  const rows = wallRows(grid, dilate(grid, wall), seams, layout);
  const faces = seams.map((seam, i) => makeSeamFace(grid, rows, seam, i, layout));
  const calls = { body: spec.body.call, mold: spec.call, seams: spec.seams.call };
  const walls = seams.map((_, i) => ({
    name: `wall-${letter(i)}`,
    ...buildWall(grid, rows, seams, faces, i, layout, calls),
  }));
  const floor = layout.floor ? [{ name: "floor", ...buildFloor(grid, calls) }] : [];
  const bare = [...walls, ...floor];
  const clay = buildClay(bare, spec.body.call);
  const shaped = performance.now();
  const opening = openMold({ grid, seams, faces, walls, floor: floor[0] ?? null, clay, spec });

  const opened = performance.now();
  const keys = seams.map((_, s) => {
    const proud = walls[(s + walls.length - 1) % walls.length].name;
    const hollow = walls[s].name;
    return placeKeys(
      { name: seamName(s), proud, hollow, face: faces[s], ...partingOf(opening, proud, hollow) },
      spec.keys,
      spec.printer,
      layout,
      s === 0,
    );
  });
  const keyed = walls.map((one, i) => withKeys(one, keys[(i + 1) % walls.length], keys[i]));

  const keyedAt = performance.now();
  const parts: MoldPart[] = [
    ...keyed.map((solid, i) => wallPart(walls[i].name, "wall", solid, opening)),
    ...floor.map((solid) => wallPart("floor", "floor", solid, opening)),
    ...spec.cutters.map((one) => looseCutter(buildBaseCutter(grid, spec, one, scale.used))),
  ];
  const model: MoldModel = {
    name,
    call: spec.call,
    clay: { name: scale.name, total: scale.total, used: scale.used, scale: scale.cavity },
    press: spec.press ?? choosePress(grid, spec),
    base: spec.base.kind,
    side: "outside",
    stand: spec.stand,
    open: spec.body.open,
    printer: {
      ...spec.printer,
      bed: [...spec.printer.bed],
    },
    build: {
      slab: spec.slab,
      wall,
      flange: spec.flange,
      rim: spec.rim,
      bands: spec.bands,
      limits: spec.limits,
      tolerance,
    },
    ...sizes(clay, grid, spec, scale),
    vessel: {
      name: "vessel",
      role: "vessel",
      ...clay,
      pull: null,
      draftDeg: null,
      undercutMm2: 0,
      undercutMm: 0,
      witnesses: [],
      bedTurn: IDENTITY,
    },
    parts,
    seams: seams.map((seam, s) => ({
      name: seamName(s),
      parts: [walls[(s + walls.length - 1) % walls.length].name, walls[s].name],
      follow: seam.follow,
      atDeg: degrees(seam.angle),
      curve: grid.zs.map((z, j): Vec3 => [seam.x[j], seam.y[j], z]),
    })),
    keys: keys.flatMap((seam) => seam.keys.map((one) => one.model)),
    moves: opening.moves,
    undercuts: opening.undercuts,
  };
  const times = { shape: shaped - start, opening: opened - shaped, keys: keyedAt - opened };
  return { model, spec, scale, layout, grid, seams, faces, opening, keys, bare, clay, times };
}

const IDENTITY = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];

const letter = (i: number) => String.fromCharCode(97 + i);
const seamName = (i: number) => `seam-${i + 1}`;
const degrees = (radians: number) => {
  const turned = ((radians * 180) / Math.PI) % 360;
  return Math.round((turned < 0 ? turned + 360 : turned) * 1e6) / 1e6;
};

function seamPlans(form: Form, spec: MoldSpec): SeamPlan[] {
  const { at } = spec.seams;
  return at === "best" ? planBest(form, spec.seams) : planSeams(form, spec.seams, at);
}

/** Pull of whichever of two neighbours leaves first, pointing from the proud part to the hollow one. */
function partingOf(opening: Opening, proud: string, hollow: string): { parting: Vec3; firstToLeave: string } {
  for (const { part, direction } of opening.moves) {
    if (part === hollow) return { parting: direction, firstToLeave: part };
    if (part === proud) {
      return { parting: [-direction[0], -direction[1], -direction[2]], firstToLeave: part };
    }
  }
  throw new Error(`neither ${proud} nor ${hollow} ever leaves`);
}

/** Pegs on the second seam, sockets in the first; one composed solid for each sign. */
function withKeys(wall: Tagged, pegs: SeamKeys, sockets: SeamKeys): Tagged {
  if (pegs.keys.length === 0 && sockets.keys.length === 0) return wall;
  return withScope((scope) => {
    let solid = scope.solid(wall);
    if (pegs.keys.length > 0) {
      solid = scope.add(solid, scope.compose(pegs.keys.map((one) => scope.solid(one.peg))));
    }
    if (sockets.keys.length > 0) {
      solid = scope.subtract(solid, scope.compose(sockets.keys.map((one) => scope.solid(one.socket))));
    }
    return tidy(scope.mesh(solid));
  });
}

function wallPart(name: string, role: "wall" | "floor", solid: Tagged, opening: Opening): MoldPart {
  const leaving = opening.parts.get(name)!;
  return {
    name,
    role,
    ...solid,
    pull: leaving.pull,
    draftDeg: leaving.draftDeg,
    undercutMm2: leaving.undercutMm2,
    undercutMm: leaving.undercutMm,
    witnesses: leaving.witnesses,
    bedTurn: IDENTITY,
  };
}

function looseCutter(solid: Tagged): MoldPart {
  return {
    name: "cutter-base",
    role: "cutter",
    ...solid,
    pull: null,
    draftDeg: null,
    undercutMm2: 0,
    undercutMm: 0,
    witnesses: [],
    bedTurn: IDENTITY,
  };
}

function sizes(clay: Tagged, grid: Grid, spec: MoldSpec, scale: ClayScale): Pick<MoldModel, "fired" | "wet"> {
  const { min, max } = boundsOf(clay.mesh);
  const size: Vec3 = [max[0] - min[0], max[1] - min[1], max[2] - min[2]];
  const inside = insideVolume(grid, spec.slab, spec.base.slab);
  const clayVolume = volumeOf(clay.mesh) - inside;
  const massG = (clayVolume / 1000) * plasticDensity(scale.water);
  const shrunk = 1 / scale.cavity;
  const later = spec.body.shrinkings.length > 0 && scale.total === 0;
  return {
    wet: { size, slabAreaMm2: clayVolume / spec.slab, massG },
    fired: later
      ? null
      : {
          size: [size[0] * shrunk, size[1] * shrunk, size[2] * shrunk],
          capacityMl: (inside * shrunk * shrunk * shrunk) / 1000,
          massG: massG * firedMassFraction(scale.water, scale.loi),
        },
  };
}
