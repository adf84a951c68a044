import type { MoldSpec } from "../kit/mold.ts";
import { leastDraft } from "../leaving/draft.ts";
import { pointOf, vertexAreas, type Facets } from "../leaving/facets.ts";
import type { PullProblem } from "../leaving/pull.ts";
import { choosePull, type ChosenPull, type SearchOptions } from "../leaving/search.ts";
import { findUndercut } from "../leaving/undercut.ts";

import { boundsAlong } from "../solid/measure.ts";
import { clayFacets, facetNormals } from "./clay-facets.ts";
import { keyDraft } from "./keys.ts";
import type { Grid } from "./grid.ts";
import type { Move, UndercutPatch, Vec3 } from "./model.ts";
import type { SeamFace } from "./seam-face.ts";
import type { SeamLine } from "./seams.ts";
import type { Tagged } from "../solid/tagged.ts";

/** How one part leaves the clay. */
export interface Leaving {
  pull: Vec3;
  /** Least draft, degrees; negative where clay faces the wrong way. */
  draftDeg: number;
  undercutMm2: number;
  undercutMm: number;
  witnesses: { at: Vec3; normal: Vec3; weight: number }[];
  /** The clay that it touches. */
  clay: Facets;
}

export interface Opening {
  /** By part name; the floor among them. */
  parts: Map<string, Leaving>;
  /** In the order in which the mold is opened. */
  moves: Move[];
  undercuts: UndercutPatch[];
}

interface Closed {
  grid: Grid;
  seams: readonly SeamLine[];
  faces: readonly SeamFace[];
  walls: readonly (Tagged & { name: string })[];
  floor: Tagged | null;
  clay: Tagged;
  spec: MoldSpec;
}

/** Room between a drawn part and the pot at the end of its move, mm. */
const CLEAR = 20;

/**
 * Opens the mold one part and one straight move at a time: of the walls that are left, the one
 * that comes off with the most draft goes next, since taking a part away only frees the rest. A
 * floor goes last, downwards, when the walls no longer clasp it.
 */
export function openMold(closed: Closed): Opening {
  const { grid, seams, faces, walls, floor, clay, spec } = closed;
  const count = walls.length;
  const touched = seams.map((seam, i) => clayFacets(grid, seam, seams[(i + 1) % count]));
  const areas = touched.map(vertexAreas);
  const rulings = faces.map(rulingNormals);
  const stand: Vec3 = spec.stand === "foot" ? [0, 0, 1] : [0, 0, -1];
  const tongue = floor ? facetNormals(floor.mesh, floor.runs, "floor") : new Float64Array(0);

  const parts = new Map<string, Leaving>();
  const moves: Move[] = [];
  const undercuts: UndercutPatch[] = [];
  const left = new Set(walls.keys());
  while (left.size > 0) {
    let best: { part: number; pull: ChosenPull } | null = null;
    for (const part of left) {
      const before = (part + count - 1) % count;
      const after = (part + 1) % count;
      const seamsLeft: number[] = [];
      if (left.has(before) && before !== part) seamsLeft.push(...rulings[part]);
      if (left.has(after) && after !== part) seamsLeft.push(...rulings[after].map((value) => -value));
      const slides = [...stand, ...seamsLeft];
      if (floor) slides.push(...facing(tongue, middleOf(seams, part)));
      const problem: PullProblem = {
        clay: touched[part].normals,
        slides: Float64Array.from(slides),
        level: spec.seams.pull === "level",
      };
      const pull = pullForKeys(problem, Float64Array.from(seamsLeft), spec, {
        middle: middleOf(seams, part),
        areas: areas[part],
        undercut: (m) => findUndercut(clay.mesh, touched[part], m).areaMm2,
      });
      if (pull && (!best || isBetter(pull, best.pull))) best = { part, pull };
    }
    // No direction at all lets any part go: the first one is shown along its middle, held by its neighbours.
    const part: number = best?.part ?? [...left][0];
    const direction: Vec3 = best?.pull.direction ?? middleOf(seams, part);
    const { name } = walls[part];
    const held = findUndercut(clay.mesh, touched[part], direction);
    undercuts.push(...held.patches.map(({ areaMm2, depthMm, at }) => ({ part: name, areaMm2, depthMm, at })));
    parts.set(name, {
      pull: direction,
      draftDeg: best?.pull.draftDeg ?? leastDraft(touched[part].normals, direction),
      undercutMm2: held.areaMm2,
      undercutMm: held.depthMm,
      witnesses: (best?.pull.optimum.witnesses ?? [])
        .filter((witness) => witness.kind === "clay")
        .map(({ index, weight }) => ({
          at: pointOf(touched[part].positions, index),
          normal: pointOf(touched[part].normals, index),
          weight,
        })),
      clay: touched[part],
    });
    left.delete(part);
    moves.push({
      part: name,
      direction,
      mm: clearance(walls[part], clay, direction),
      against: [...left].filter((other) => touching(part, other, count)).map((other) => walls[other].name),
    });
  }
  if (floor) {
    const down: Vec3 = [0, 0, -1];
    parts.set("floor", {
      pull: down,
      draftDeg: 90,
      undercutMm2: 0,
      undercutMm: 0,
      witnesses: [],
      clay: { positions: new Float64Array(0), normals: new Float64Array(0), triangles: new Uint32Array(0) },
    });
    moves.push({ part: "floor", direction: down, mm: clearance(floor, clay, down), against: [] });
  }
  return { parts, moves, undercuts };
}

/**
 * The best pull; where it runs so nearly along a seam that no key on it could be high enough to
 * register, the best one that does not, as long as that holds no clay and keeps the draft asked for.
 */
function pullForKeys(
  problem: PullProblem,
  seams: Float64Array,
  spec: MoldSpec,
  options: SearchOptions,
): ChosenPull | null {
  const free = choosePull(problem, options);
  const draft = keyDraft(spec.keys, spec.flange.thickness);
  if (!free || seams.length === 0 || leastDraft(seams, free.direction) >= draft) return free;
  const keyed = choosePull({ ...problem, flanks: seams, flankDraft: draft }, options);
  const asGood =
    keyed !== null &&
    keyed.undercutArea <= free.undercutArea + 1 &&
    keyed.draftDeg >= Math.min(free.draftDeg, spec.limits.draft);
  return asGood ? keyed : free;
}

/** Less undercut to 1 mm², then more draft; ties go to the part that comes first. */
function isBetter(a: ChosenPull, b: ChosenPull): boolean {
  if (Math.abs(a.undercutArea - b.undercutArea) > 1) return a.undercutArea < b.undercutArea;
  return a.draftDeg > b.draftDeg + 1e-3;
}

const touching = (part: number, other: number, count: number) =>
  (part + 1) % count === other || (other + 1) % count === part;

/** Unit direction from the axis through the middle of a part, half-way up. */
export function middleOf(seams: readonly SeamLine[], part: number): Vec3 {
  const from = seams[part];
  const to = seams[(part + 1) % seams.length];
  const j = from.dirX.length >> 1;
  const start = Math.atan2(from.dirY[j], from.dirX[j]);
  let span = Math.atan2(to.dirY[j], to.dirX[j]) - start;
  while (span <= 1e-9) span += 2 * Math.PI;
  return [Math.cos(start + span / 2), Math.sin(start + span / 2), 0];
}

/** Normals of a seam face, pointing counter-clockwise, two for each cell along the seam. */
function rulingNormals(face: SeamFace): number[] {
  const normals: number[] = [];
  for (let r = 0; r + 1 < face.points.length; r++) {
    const [low, high] = [face.points[r], face.points[r + 1]];
    const [a, b, c, d] = [low[0], low[low.length - 1], high[high.length - 1], high[0]];
    for (const [p, q, s] of [
      [a, b, d],
      [c, d, b],
    ]) {
      const u = [q.x - p.x, q.y - p.y, q.z - p.z];
      const v = [s.x - p.x, s.y - p.y, s.z - p.z];
      // v × u: with u outwards and v upwards this is the counter-clockwise side.
      const n = [v[1] * u[2] - v[2] * u[1], v[2] * u[0] - v[0] * u[2], v[0] * u[1] - v[1] * u[0]];
      const length = Math.hypot(n[0], n[1], n[2]);
      if (length > 1e-9) normals.push(n[0] / length, n[1] / length, n[2] / length);
    }
  }
  return normals;
}

/** Those of a ring of normals that look into the half-space of a part; level ones bound nothing there. */
function facing(normals: Float64Array, middle: Vec3): number[] {
  const found: number[] = [];
  for (let i = 0; i < normals.length; i += 3) {
    const [x, y, z] = normals.slice(i, i + 3);
    if (Math.abs(z) < 0.9999 && x * middle[0] + y * middle[1] > 0) found.push(x, y, z);
  }
  return found;
}

/** How far a part travels until it is clear of the clay, mm, rounded up to whole centimetres. */
function clearance(part: Tagged, clay: Tagged, direction: Vec3): number {
  const own = boundsAlong(part.mesh, direction);
  const pot = boundsAlong(clay.mesh, direction);
  return Math.ceil((pot.max - own.min + CLEAR) / 10) * 10;
}
