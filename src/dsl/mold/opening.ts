import type { MoldSpec } from "../kit/mold.ts";
import { cutBy, GRAIN } from "../leaving/drawn.ts";
import { pointOf, type Facets } from "../leaving/facets.ts";
import { openingOrder, runsInto, type Hit } from "../leaving/order.ts";
import { planOpening, type ClosedPart, type PlannedPull } from "../leaving/plan.ts";
import { boundsAlong } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
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
  /** Neighbours whose faces leave it no direction while they are there. */
  heldBy: readonly string[];
}

/** How the mold is meant to open; keys are made for these pulls. */
export interface Opening {
  /** By part name, in the order in which they are meant to leave; the floor last. */
  parts: Map<string, Leaving>;
  undercuts: Omit<UndercutPatch, "verdict">[];
}

/** Parts that cannot leave while the others named here are there. */
export interface Stuck {
  part: string;
  direction: Vec3;
  by: Hit[];
}

/** What came of trying to open the finished mold. */
export interface Opened {
  /** In the order in which the mold is opened. */
  moves: Move[];
  /** Parts that never come free; empty when the mold opens. */
  stuck: Stuck[];
}

/** The walls of one ring, and where they meet. */
interface ClosedRing {
  grid: Grid;
  seams: readonly SeamLine[];
  faces: readonly SeamFace[];
  walls: readonly (Tagged & { name: string })[];
}

/** The same clay on a coarser grid, and the rings of it. */
export interface CoarseClay {
  clay: Tagged;
  rings: readonly { grid: Grid; seams: readonly SeamLine[] }[];
}

interface Around {
  floor: Tagged | null;
  clay: Tagged;
  spec: MoldSpec;
  /** What directions that all hold clay are told apart by. Default the clay itself. */
  coarse?: CoarseClay | null;
}

/** Room between a drawn part and the pot at the end of its move, mm. */
const CLEAR = 20;
const DOWN: Vec3 = [0, 0, -1];
const FLOOR = "floor";

/**
 * Plans how the mold opens, one part and one straight move at a time. The straps are off by then.
 * Walls leave sideways and never through what the pot stands on; a floor goes last, downwards, since
 * the walls clasp its tongue. Rings are taken off one by one, the furthest from the board first: what
 * is under a ring lets it go the same ways as the board does.
 *
 * @param rings from the foot up
 */
export function openRings(rings: readonly ClosedRing[], around: Around): Opening {
  const { clay, spec, floor, coarse } = around;
  const order = spec.stand === "foot" ? [...rings].reverse() : rings;
  const openings = order.map((ring) => {
    const walls = closedParts(ring, ring === rings[0] ? floor : null, coarse?.rings[rings.indexOf(ring)]);
    const planned = planOpening(walls, clay.mesh, {
      stand: spec.stand === "foot" ? [0, 0, 1] : DOWN,
      level: spec.seams.pull === "level",
      keyDraft: keyDraft(spec.keys, spec.flange.thickness),
      wantedDraft: spec.limits.draft,
      coarse: coarse?.clay.mesh,
    });
    return openingOf(planned, walls);
  });
  const parts = new Map(openings.flatMap((one) => [...one.parts]));
  if (floor) parts.set(FLOOR, floorLeaving());
  return { parts, undercuts: openings.flatMap(({ undercuts }) => undercuts) };
}

/** The places of the clay that hold a pull where it is. */
export const witnessesOn = (
  touched: Facets,
  optimum: PlannedPull["optimum"] | undefined,
): Leaving["witnesses"] =>
  (optimum?.witnesses ?? [])
    .filter((witness) => witness.kind === "clay")
    .map(({ index, weight }) => ({
      at: pointOf(touched.positions, index),
      normal: pointOf(touched.normals, index),
      weight,
    }));

/** What was planned, as the mold tells it. */
export function openingOf(planned: readonly PlannedPull[], pieces: readonly ClosedPart[]): Opening {
  const parts = new Map<string, Leaving>();
  const undercuts: Opening["undercuts"] = [];
  for (const { part, direction, draftDeg, optimum, undercut: measured, heldBy } of planned) {
    const undercut = measured.complete();
    const touched = pieces.find((piece) => piece.name === part)!.clay;
    undercuts.push(...undercut.patches.map(({ areaMm2, depthMm, at }) => ({ part, areaMm2, depthMm, at })));
    parts.set(part, {
      pull: direction,
      draftDeg,
      undercutMm2: undercut.areaMm2,
      undercutMm: undercut.depthMm,
      witnesses: witnessesOn(touched, optimum),
      clay: touched,
      heldBy,
    });
  }
  return { parts, undercuts };
}

/**
 * Opens the finished mold, keys and all, along the planned pulls: which part really passes which is
 * told by the facets that would meet.
 */
export function tryOpening(
  { parts }: Opening,
  solids: ReadonlyMap<string, Mesh>,
  clay: Mesh,
  neighbours: (a: string, b: string) => boolean,
): Opened {
  const leaving = [...parts].map(([name, { pull }]) => ({ name, mesh: solids.get(name)!, pull }));
  const { moves, stuck } = openingOrder(
    leaving,
    clay,
    neighbours,
    (part, other, m) => cutBy(part.mesh, m, other.mesh) <= GRAIN,
  );
  return {
    moves: moves.map((move) => ({ ...move, mm: Math.ceil((move.mm + CLEAR) / 10) * 10 })),
    stuck: stuck.map(({ part, by }) => ({ part, direction: parts.get(part)!.pull, by })),
  };
}

/**
 * The opening as it was planned, for parts that are only there to be looked at: too coarse to be
 * tried against each other, they are held by what the plan found on the true faces.
 */
export function plannedOpening(
  { parts }: Opening,
  solids: ReadonlyMap<string, Mesh>,
  clay: Mesh,
  neighbours: (a: string, b: string) => boolean,
): Opened {
  const held = [...parts].filter(([, { heldBy }]) => heldBy.length > 0);
  const free = [...parts].filter(([, { heldBy }]) => heldBy.length === 0);
  const leaving = (name: string, pull: Vec3) => ({ name, mesh: solids.get(name)!, pull });
  const moves = free.map(([part, { pull }], i): Move => {
    const rest = [...free.slice(i + 1), ...held].map(([name]) => name);
    const pot = boundsAlong(clay, pull).max;
    const top = Math.max(pot, ...rest.map((name) => boundsAlong(solids.get(name)!, pull).max));
    const mm = Math.max(0, top - boundsAlong(solids.get(part)!, pull).min);
    return {
      part,
      direction: pull,
      mm: Math.ceil((mm + CLEAR) / 10) * 10,
      against: rest.filter((name) => neighbours(part, name)),
    };
  });
  const stuck = held.map(([part, { pull, heldBy }]): Stuck => ({
    part,
    direction: pull,
    by: heldBy.flatMap((other) => runsInto(leaving(part, pull), leaving(other, pull), pull) ?? []),
  }));
  return { moves: held.length > 0 ? moves.filter(({ part }) => part !== FLOOR) : moves, stuck };
}

/**
 * Neighbouring walls of a ring share a seam face, those above one another a level one, and every wall
 * of the lowest ring clasps the floor.
 */
export function neighboursOf(rings: readonly (readonly string[])[]): (a: string, b: string) => boolean {
  const where = new Map(rings.flatMap((walls, r) => walls.map((name, i) => [name, { r, i }] as const)));
  return (a, b) => {
    const [one, other] = [where.get(a), where.get(b)];
    if (!one || !other) return (one ?? other)?.r === 0;
    if (one.r !== other.r) return Math.abs(one.r - other.r) === 1 && one.i === other.i;
    const apart = Math.abs(one.i - other.i);
    return apart === 1 || apart === rings[one.r].length - 1;
  };
}

function closedParts(
  { grid, seams, faces, walls }: ClosedRing,
  floor: Tagged | null,
  coarse: CoarseClay["rings"][number] | undefined,
): ClosedPart[] {
  const count = walls.length;
  const rulings = faces.map(rulingNormals);
  return walls.map(({ name, mesh, runs }, i) => {
    const middle = middleOf(seams, i);
    const contacts = new Map<string, Float64Array>();
    const add = (other: string, normals: readonly number[]) =>
      contacts.set(other, Float64Array.from([...(contacts.get(other) ?? []), ...normals]));
    if (count > 1) {
      add(walls[(i + count - 1) % count].name, rulings[i]);
      add(
        walls[(i + 1) % count].name,
        rulings[(i + 1) % count].map((value) => -value),
      );
    }
    const beside = floor && {
      normals: bevels(facetNormals(mesh, runs, "floor"), middle),
      blocks: (m: Vec3) =>
        runsInto({ name, mesh, pull: m }, { name: FLOOR, mesh: floor.mesh, pull: DOWN }, m) !== null,
    };
    const next = (i + 1) % count;
    const clay = clayFacets(grid, seams[i], seams[next]);
    return {
      name,
      clay,
      coarse: coarse && clayFacets(coarse.grid, coarse.seams[i], coarse.seams[next]),
      middle,
      contacts,
      beside,
    };
  });
}

/** A floor goes last, downwards. */
export function floorLeaving(): Leaving {
  return {
    pull: DOWN,
    draftDeg: 90,
    undercutMm2: 0,
    undercutMm: 0,
    witnesses: [],
    clay: { positions: new Float64Array(0), normals: new Float64Array(0), triangles: new Uint32Array(0) },
    heldBy: [],
  };
}

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

/** A bevel this far round from the middle of its part, cosine, has room enough in its clearance. */
const AT_THE_END = 0.15;

/**
 * Outward normals of the groove's bevels turned into the plastic, but for those near the ends of the
 * part: there they lie along the pull, and rounding would forbid it.
 */
export function bevels(normals: Float64Array, middle: Vec3): Float64Array {
  const found: number[] = [];
  for (let i = 0; i < normals.length; i += 3) {
    const [x, y, z] = normals.subarray(i, i + 3);
    const level = Math.hypot(x, y);
    if (level < 0.02 || level > 0.99) continue;
    if (-(x * middle[0] + y * middle[1]) > AT_THE_END * level) found.push(-x, -y, -z);
  }
  return Float64Array.from(found);
}
