import { pointOf, placesOf, type Facets } from "../leaving/facets.ts";
import { along, dot, squareTo, type Vec3 } from "../leaving/vector.ts";
import { edgeKey } from "../solid/edge-key.ts";
import { FEATURE_ANGLE } from "../tolerances.ts";

/** One step along a line of the clay's side: how far it goes and how far it turns outwards, radians. */
export interface Step {
  length: number;
  turn: number;
  at: Vec3;
}

/**
 * Steps one after another, the clay on their left; `closed` when the last leads to the first. The last of an open
 * line is its end and leads nowhere.
 */
export interface Line {
  steps: Step[];
  closed: boolean;
}

/** Facets with the places of their vertices: several planes cut them. */
export interface Side {
  facets: Facets;
  places: Int32Array;
}

export const sideOf = (facets: Facets): Side => ({ facets, places: placesOf(facets) });

/** A normal with less than this in the plane says nothing about a line in it. */
const LEAST_IN_PLANE = 0.05;

/** A stretch of a line in one facet. */
interface Stretch {
  from: Vec3;
  to: Vec3;
  length: number;
  /** Direction of the normal in the plane at its ends, radians, and how much of it lies there. */
  first: number;
  last: number;
  share: number;
  /** The edge by which the line goes on. */
  next: number;
}

/**
 * The lines in which a plane cuts a surface. What they turn is what the surface turns along them, by its normals: a
 * line that grazes a round bottom is not bent more sharply than that (Meusnier).
 *
 * @param m unit normal of the plane
 * @param height of the plane along it, mm
 */
export function linesIn({ facets, places }: Side, m: Vec3, height: number): Line[] {
  const { positions, normals, triangles: t } = facets;
  const [e, f] = squareTo(m);
  const above = (v: number) => dot(pointOf(positions, v), m) - height;
  const heading = (n: Vec3) => Math.atan2(dot(n, f), dot(n, e));
  const stretches = new Map<number, Stretch>();
  for (let i = 0; i < t.length; i += 3) {
    const sides = [above(t[i]), above(t[i + 1]), above(t[i + 2])];
    const up = sides.map((side) => side >= 0);
    if (up[0] === up[1] && up[1] === up[2]) continue;
    const crossing = (falls: boolean) => {
      const k = [0, 1, 2].find((a) => up[a] === falls && up[(a + 1) % 3] !== falls)!;
      const [a, b] = [t[i + k], t[i + ((k + 1) % 3)]];
      const share = sides[k] / (sides[k] - sides[(k + 1) % 3]);
      const between = (values: Float64Array) =>
        pointOf(values, a).map((value, axis) => value + share * (values[3 * b + axis] - value)) as Vec3;
      return { edge: edgeKey(places[a], places[b]), at: between(positions), normal: between(normals) };
    };
    const [start, end] = [crossing(true), crossing(false)];
    const inPlane = (n: Vec3) => Math.hypot(dot(n, e), dot(n, f)) / (Math.hypot(...n) || 1);
    stretches.set(start.edge, {
      from: start.at,
      to: end.at,
      length: Math.hypot(...along(end.at, -1, start.at)),
      first: heading(start.normal),
      last: heading(end.normal),
      share: (inPlane(start.normal) + inPlane(end.normal)) / 2,
      next: end.edge,
    });
  }
  return chained(stretches).map(({ chain, closed }) => ({ steps: stepsAlong(chain, closed), closed }));
}

/** Stretches one after another; those that nothing leads to begin a line. */
function chained(stretches: Map<number, Stretch>): { chain: Stretch[]; closed: boolean }[] {
  const ledTo = new Set([...stretches.values()].map(({ next }) => next));
  const starts = [...stretches.keys()].filter((edge) => !ledTo.has(edge));
  const lines: { chain: Stretch[]; closed: boolean }[] = [];
  for (const start of [...starts, ...stretches.keys()]) {
    const chain: Stretch[] = [];
    let edge = start;
    for (let stretch = stretches.get(edge); stretch; stretch = stretches.get(edge)) {
      stretches.delete(edge);
      chain.push(stretch);
      edge = stretch.next;
    }
    if (chain.length > 0) lines.push({ chain, closed: edge === start });
  }
  return lines;
}

/** A surface that turns this much from one facet to the next has an edge there, radians. */
const EDGE = (FEATURE_ANGLE * Math.PI) / 180;

/** Turns within facets and from facet to facet: on the spot at an edge, else shared by the two. */
function stepsAlong(chain: readonly Stretch[], closed: boolean): Step[] {
  const within = chain.map(({ from, length, first, last, share }): Step => {
    const turn = share < LEAST_IN_PLANE ? 0 : share * turnBetween(first, last);
    return { length, turn, at: from };
  });
  const steps: Step[] = [];
  chain.forEach((stretch, i) => {
    const before = i > 0 ? i - 1 : closed ? chain.length - 1 : -1;
    const other = before < 0 ? null : chain[before];
    if (other && Math.min(other.share, stretch.share) >= LEAST_IN_PLANE) {
      const turn = turnBetween(other.last, stretch.first);
      const share = (other.share + stretch.share) / 2;
      if (Math.abs(turn) > EDGE) steps.push({ length: 0, turn: share * turn, at: stretch.from });
      else {
        within[before].turn += (share * turn) / 2;
        within[i].turn += (share * turn) / 2;
      }
    }
    steps.push(within[i]);
  });
  if (!closed) steps.push({ length: 0, turn: 0, at: chain[chain.length - 1].to });
  return steps;
}

/** From one direction to another the shorter way, radians. */
export function turnBetween(from: number, to: number): number {
  const turn = to - from;
  return turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI));
}
