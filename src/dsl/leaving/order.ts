import type { Mesh } from "../solid/mesh.ts";
import { boundsOf } from "../solid/measure.ts";
import { Welder } from "../solid/weld.ts";
import { SNAP } from "../tolerances.ts";
import { overlapOf } from "./overlap.ts";
import { SolidView } from "./solid-view.ts";
import { dot, type Vec3 } from "./vector.ts";
import { seenArea, viewAlong, type View } from "./view.ts";

/** A part that is to leave. */
export interface Leaving {
  name: string;
  /** Closed, mold frame, mm. */
  mesh: Mesh;
  /** Unit direction, or one that depends on which other parts are still there; null when there is none. */
  pull: Vec3 | null | ((present: readonly string[]) => Vec3 | null);
}

export interface OpeningMove {
  part: string;
  direction: Vec3;
  /** After this way a plane square to the direction lies between the part and all that is left, mm. */
  mm: number;
  /** Parts still there that it touches, and so slides along or draws away from. */
  against: string[];
}

/** A part that no single translation frees while the others named here are there. */
export interface Stuck {
  part: string;
  /** Null when it has no direction to leave in. */
  direction: Vec3 | null;
  by: Hit[];
}

export interface Hit {
  part: string;
  /** Area of the leaving part that would run into the other, across the pull, mm²: at least this. */
  areaMm2: number;
  /** A place on the leaving part that would run into the other, mold frame, mm. */
  at: Vec3;
}

export interface Opening {
  moves: OpeningMove[];
  /** What is left when no further part can leave; empty when the mold opens. */
  stuck: Stuck[];
}

/**
 * The order in which the parts leave, one part and one translation at a time, taking the first in
 * the list that is free. Taking a part away only makes room, so no other choice of the next part
 * would free more. Groups of parts that could only leave together are not looked for. `clay`, which
 * stays, counts for how far a part has to go and not as an obstacle: what it holds is undercut.
 * `touching` says which parts share a face; by default it is found from corners in one place.
 * `passes` settles what hardly touches: whether the part comes past the other when really moved; by
 * default what the facets say stands.
 */
export function openingOrder(
  parts: readonly Leaving[],
  clay?: Mesh,
  touching: (a: string, b: string) => boolean = contacts(parts),
  passes: (part: Leaving, other: Leaving, m: Vec3) => boolean = () => false,
): Opening {
  const present = [...parts];
  const known = new Map<string, Hit | null>();
  const hit = (part: Leaving, other: Leaving, m: Vec3) => {
    const key = `${part.name}\n${other.name}\n${m.join()}`;
    let found = known.get(key);
    if (found === undefined) {
      found = runsInto(part, other, m);
      if (found !== null && found.areaMm2 < SURE_HIT && passes(part, other, m)) found = null;
      known.set(key, found);
    }
    return found;
  };
  const attempt = (part: Leaving): Stuck => {
    const others = present.filter((other) => other !== part);
    const { pull } = part;
    const direction = typeof pull === "function" ? pull(others.map((other) => other.name)) : pull;
    const by = direction === null ? [] : others.map((other) => hit(part, other, direction));
    return { part: part.name, direction, by: by.filter((found) => found !== null) };
  };
  const moves: OpeningMove[] = [];
  for (;;) {
    const free = present.findIndex((part) => {
      const { direction, by } = attempt(part);
      if (direction === null || by.length > 0) return false;
      const others = present.filter((other) => other !== part);
      moves.push({
        part: part.name,
        direction,
        mm: wayOut(part.mesh, [...others.map((other) => other.mesh), ...(clay ? [clay] : [])], direction),
        against: others.filter((other) => touching(part.name, other.name)).map((other) => other.name),
      });
      return true;
    });
    if (free < 0) break;
    present.splice(free, 1);
  }
  return { moves, stuck: present.map(attempt) };
}

/** Smaller overlaps are rounding of parts that pass each other, mm². */
const LEAST_HIT = 0.05;
/** A larger overlap surely holds, mm². */
const SURE_HIT = 5;
/** Parts touch when they are this near, and overlap by no more, mm: chords of one curve cross by less. */
const TOUCH = 0.02;
/** Facets steeper than this face neither way: the sine of 0.006°. */
const STEEP = 1e-4;
/** How far apart rounding to the snap grid can move two corners of a facet, mm. */
const ROUNDING = Math.sqrt(3) * SNAP;

/**
 * Where `part` would run into `other` on its way along `m`: facets of the one that face along m lie
 * under facets of the other that face against it. Null when less than 0.05 mm² of them do.
 */
export function runsInto(part: Leaving, other: Leaving, m: Vec3): Hit | null {
  if (!inTheWay(part.mesh, other.mesh, m)) return null;
  const own = viewAlong(part.mesh, m);
  const ahead = new SolidView(other.mesh, m);
  const t = part.mesh.triangles;
  const { u, v, h } = own;
  let areaMm2 = 0;
  let largest = 0;
  let at: Vec3 = [0, 0, 0];
  for (let f = 0; f < t.length / 3; f++) {
    if (facing(own, f) !== 1) continue;
    const [a, b, c] = [t[3 * f], t[3 * f + 1], t[3 * f + 2]];
    const seen: Parameters<typeof overlapOf>[0] = [u[a], v[a], h[a], u[b], v[b], h[b], u[c], v[c], h[c]];
    for (const g of ahead.facetsAhead(seen, TOUCH)) {
      if (facing(ahead.view, g) !== -1) continue;
      const overlap = overlapOf(seen, ahead.seen(g));
      if (overlap === null || overlap.middle < -TOUCH) continue;
      areaMm2 += overlap.area;
      if (overlap.area > largest) {
        largest = overlap.area;
        at = middleOf(part.mesh, f);
      }
    }
  }
  return areaMm2 > LEAST_HIT ? { part: other.name, areaMm2, at } : null;
}

/** 1 where a facet faces along the pull, −1 against it, 0 where it is too steep to tell from rounding. */
function facing(view: View, f: number): -1 | 0 | 1 {
  const seen = seenArea(view, f);
  const { positions: p, triangles: t } = view.mesh;
  const [i, j, k] = [3 * t[3 * f], 3 * t[3 * f + 1], 3 * t[3 * f + 2]];
  const [ux, uy, uz] = [p[j] - p[i], p[j + 1] - p[i + 1], p[j + 2] - p[i + 2]];
  const [vx, vy, vz] = [p[k] - p[i], p[k + 1] - p[i + 1], p[k + 2] - p[i + 2]];
  const double = Math.sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + (ux * vy - uy * vx) ** 2);
  const square = Math.max(
    ux * ux + uy * uy + uz * uz,
    vx * vx + vy * vy + vz * vz,
    (ux - vx) ** 2 + (uy - vy) ** 2 + (uz - vz) ** 2,
  );
  // Rounding can turn a facet by as much as it can move a corner over the facet's least height.
  const least = Math.max(STEEP * double, ROUNDING * Math.sqrt(square));
  return seen > least ? 1 : seen < -least ? -1 : 0;
}

/** Whether the boxes of the two leave any chance that the first meets the second along m. */
function inTheWay(part: Mesh, other: Mesh, m: Vec3): boolean {
  if (part.triangles.length === 0 || other.triangles.length === 0) return false;
  const own = boundsOf(part);
  const its = boundsOf(other);
  for (let axis = 0; axis < 3; axis++) {
    if (m[axis] >= 0 && its.max[axis] < own.min[axis] - TOUCH) return false;
    if (m[axis] <= 0 && its.min[axis] > own.max[axis] + TOUCH) return false;
  }
  return true;
}

function middleOf({ positions: p, triangles: t }: Mesh, f: number): Vec3 {
  const [i, j, k] = [3 * t[3 * f], 3 * t[3 * f + 1], 3 * t[3 * f + 2]];
  return [0, 1, 2].map((axis) => (p[i + axis] + p[j + axis] + p[k + axis]) / 3) as Vec3;
}

function wayOut(part: Mesh, rest: readonly Mesh[], m: Vec3): number {
  const top = Math.max(-Infinity, ...rest.map((mesh) => extent(mesh, m)[1]));
  return Math.max(0, top - extent(part, m)[0]);
}

function extent({ positions: p }: Mesh, m: Vec3): [number, number] {
  let [low, high] = [Infinity, -Infinity];
  for (let i = 0; i < p.length; i += 3) {
    const h = dot([p[i], p[i + 1], p[i + 2]], m);
    if (h < low) low = h;
    if (h > high) high = h;
  }
  return [low, high];
}

/** Two parts touch when they have three corners in one place. */
function contacts(parts: readonly Leaving[]): (a: string, b: string) => boolean {
  const welder = new Welder(parts.reduce((sum, { mesh }) => sum + mesh.positions.length / 3, 0));
  const places = new Map(
    parts.map((part) => {
      const p = part.mesh.positions;
      const own = new Set<number>();
      for (let i = 0; i < p.length; i += 3) own.add(welder.index(p[i], p[i + 1], p[i + 2]));
      return [part.name, own];
    }),
  );
  return (a, b) => {
    let shared = 0;
    const other = places.get(b)!;
    for (const place of places.get(a)!) if (other.has(place) && ++shared === 3) return true;
    return false;
  };
}
