import type { Mesh } from "../solid/mesh.ts";
import { Welder } from "../solid/weld.ts";
import { depthAt } from "./depth.ts";
import { Groups, type Facets } from "./facets.ts";
import { InTheWay, WHOLE } from "./in-the-way.ts";
import type { Corner, Piece } from "./pieces.ts";
import { SolidView } from "./solid-view.ts";
import { dot, type Vec3 } from "./vector.ts";

/** Clay that holds a part back along its pull. */
export interface Undercut {
  /** mm², facing the wrong way or shadowed. */
  areaMm2: number;
  /** Depth of the deepest patch, mm. */
  depthMm: number;
  /** Connected patches, deepest first. */
  patches: Patch[];
}

export interface Patch {
  areaMm2: number;
  /** How far the clay must give, square to the pull, at the deepest place, mm. */
  depthMm: number;
  /** The deepest place, mold frame, mm. */
  at: Vec3;
  /** Numbers of the facets that are in the way, whole or in part. */
  facets: number[];
}

/**
 * What of the clay that a part touches is in its way along `m`, a unit vector: facets that face
 * against the pull by more than 0.1°, and facets from which a ray along the pull meets clay again.
 * `clay` is the whole clay, closed; `facets` the part's share of its surface. Facets that no clay
 * can lie ahead of are passed over by comparing them with the clay that faces against the pull;
 * those at a shadow's edge are divided to 1 mm² and asked one by one. No facets give no undercut.
 */
export function findUndercut(clay: Mesh, facets: Facets, m: Vec3): Undercut {
  return measureUndercut(clay, facets, m).complete();
}

/** The area alone, which is quick, and the rest when it is asked for. */
export interface MeasuredUndercut {
  areaMm2: number;
  complete(): Undercut;
}

/** As `findUndercut`, with depths and patches left until a direction has been chosen by area. */
export function measureUndercut(clay: Mesh, facets: Facets, m: Vec3): MeasuredUndercut {
  const view = new SolidView(clay, m);
  const held = new InTheWay(view, facets, m);
  const { areaMm2 } = held;
  let known: Undercut | null = null;
  const complete = (): Undercut => {
    const patches = patchesOf(view, held.pieces(), m);
    patches.sort((a, b) => b.depthMm - a.depthMm || b.areaMm2 - a.areaMm2);
    return { areaMm2, depthMm: patches.length > 0 ? patches[0].depthMm : 0, patches };
  };
  return { areaMm2, complete: () => (known ??= complete()) };
}

function patchesOf(view: SolidView, pieces: Piece[], m: Vec3): Patch[] {
  const welder = new Welder(3 * pieces.length);
  const groups = new Groups(pieces.length);
  const first: number[] = [];
  pieces.forEach((piece, i) => {
    for (const { at } of piece.corners) {
      const place = welder.index(...at);
      if (first[place] === undefined) first[place] = i;
      else groups.join(first[place], i);
    }
  });
  const byGroup = new Map<number, Piece[]>();
  pieces.forEach((piece, i) => {
    const group = groups.of(i);
    const members = byGroup.get(group);
    if (members) members.push(piece);
    else byGroup.set(group, [piece]);
  });
  return [...byGroup.values()].map((members) => {
    const deepest = deepestOf(view, members, m);
    return {
      areaMm2: members.reduce((sum, piece) => sum + piece.area, 0),
      depthMm: deepest.depth,
      at: deepest.at,
      facets: [...new Set(members.map((piece) => piece.facet))],
    };
  });
}

/** Above this many corners only some are asked first, and then those around the deepest of them. */
const ASKED_AT_ONCE = 250;
/** So many of the deepest are followed up. */
const FOLLOWED = 4;

function deepestOf(view: SolidView, pieces: Piece[], m: Vec3): { depth: number; at: Vec3 } {
  const corners = distinctCorners(pieces);
  const depths = new Float64Array(corners.length).fill(-1);
  const ask = (i: number) => {
    if (depths[i] < 0) depths[i] = depthAt(view, corners[i], m);
  };
  const step = Math.ceil(corners.length / ASKED_AT_ONCE);
  for (let i = 0; i < corners.length; i += step) ask(i);
  if (step > 1) {
    const area = pieces.reduce((sum, piece) => sum + piece.area, 0);
    // About twice the distance between the corners asked so far.
    const near = 2 * Math.sqrt(area / ASKED_AT_ONCE) + WHOLE.side;
    const best = [...depths.keys()].filter((i) => depths[i] >= 0).sort((a, b) => depths[b] - depths[a]);
    for (const i of best.slice(0, FOLLOWED))
      corners.forEach(({ at }, j) => {
        const p = corners[i].at;
        if (Math.hypot(at[0] - p[0], at[1] - p[1], at[2] - p[2]) < near) ask(j);
      });
  }
  let at = 0;
  for (let i = 1; i < corners.length; i++) if (depths[i] > depths[at]) at = i;
  return { depth: depths[at], at: corners[at].at };
}

/** Corners of the pieces, one for each place and side of an edge. */
function distinctCorners(pieces: Piece[]): Corner[] {
  const places = new Welder(pieces.length);
  const sides = new Map<number, Vec3[]>();
  const corners: Corner[] = [];
  for (const piece of pieces) {
    for (const corner of piece.corners) {
      const place = places.index(...corner.at);
      const known = sides.get(place);
      if (known?.some((normal) => dot(normal, corner.normal) > 0.999)) continue;
      if (known) known.push(corner.normal);
      else sides.set(place, [corner.normal]);
      corners.push(corner);
    }
  }
  return corners;
}
