import type { Mesh } from "../solid/mesh.ts";
import { Welder } from "../solid/weld.ts";
import { SolidView, RAY_LIFT } from "./solid-view.ts";
import { depthAt } from "./depth.ts";
import { Groups, type Facets } from "./facets.ts";
import { WRONG } from "./facing.ts";
import { below, divide, middleOf, pieceOf, type Corner, type Fineness, type Piece } from "./pieces.ts";
import { dot, type Vec3 } from "./vector.ts";
import { viewAlong } from "./view.ts";

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
  const pieces = piecesInTheWay(view, facets, m);
  const areaMm2 = pieces.reduce((sum, piece) => sum + piece.area, 0);
  let known: Undercut | null = null;
  const complete = (): Undercut => {
    const patches = patchesOf(view, pieces, m);
    patches.sort((a, b) => b.depthMm - a.depthMm || b.areaMm2 - a.areaMm2);
    return { areaMm2, depthMm: patches.length > 0 ? patches[0].depthMm : 0, patches };
  };
  return { areaMm2, complete: () => (known ??= complete()) };
}

/** Facets at the edge of a shadow are divided to this: 1 mm². */
const AT_EDGE: Fineness = { area: 1, side: 3 };
/** Facets that face the wrong way as a whole are divided only so that the depth is asked for often enough. */
const WHOLE: Fineness = { area: 25, side: 8 };

function piecesInTheWay(view: SolidView, facets: Facets, m: Vec3): Piece[] {
  const wrong = WRONG;
  const n = facets.normals;
  const sines = new Float64Array(n.length / 3);
  for (let i = 0; i < sines.length; i++)
    sines[i] = n[3 * i] * m[0] + n[3 * i + 1] * m[1] + n[3 * i + 2] * m[2];
  const rays = viewAlong(lifted(facets), m);
  const found: Piece[] = [];
  const small: Piece[] = [];
  const t = facets.triangles;
  for (let facet = 0; facet < t.length / 3; facet++) {
    const [a, b, c] = [t[3 * facet], t[3 * facet + 1], t[3 * facet + 2]];
    const facing = Number(sines[a] < wrong) + Number(sines[b] < wrong) + Number(sines[c] < wrong);
    if (facing === 3) {
      divide(pieceOf(facets, facet), WHOLE, found);
      continue;
    }
    const piece = pieceOf(facets, facet);
    if (!view.mayBeShadowed(rays, a, b, c)) {
      if (facing > 0)
        for (const part of below(piece, [sines[a], sines[b], sines[c]], wrong)) divide(part, WHOLE, found);
      continue;
    }
    small.length = 0;
    divide(piece, AT_EDGE, small);
    for (const piece of small) {
      const { at, normal } = middleOf(piece);
      if (dot(normal, m) < wrong || view.isShadowed(at, normal)) found.push(piece);
    }
  }
  return found;
}

/** Where the rays of the facets start. */
function lifted({ positions, normals, triangles }: Facets): Mesh {
  return { positions: positions.map((p, i) => p + RAY_LIFT * normals[i]), triangles };
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
const ASKED_AT_ONCE = 600;
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
