import { SNAP } from "../tolerances.ts";
import { edgeKey } from "./edge-key.ts";
import { facetCross } from "./measure.ts";
import type { Mesh } from "./mesh.ts";
import type { Tagged } from "./tagged.ts";

type Vec3 = [number, number, number];

/** How far what touches itself is drawn back, mm: enough for one step of the snap grid along some axis. */
const APART = 1.8 * SNAP;
const ROUNDS = 4;

/**
 * A solid that touches itself along an edge, as where two of its faces came nearer to each other than the
 * snap grid, made one that does not: of the wedges of plastic that meet there all but one are drawn back by a step of the
 * grid. Each edge then has two facets.
 *
 * @param joined vertices into which several have been welded: no other edge can have more than two facets
 */
export function untouched(solid: Tagged, joined: ReadonlySet<number>): Tagged {
  if (joined.size === 0) return solid;
  let made = solid;
  const suspects = new Set(joined);
  for (let round = 0; round < ROUNDS; round++) {
    const touching = touchingEdges(made.mesh, suspects);
    if (touching.length === 0) break;
    const split = splitVertices(made.mesh, touching);
    made = { ...made, mesh: split.mesh };
    for (const vertex of split.added) suspects.add(vertex);
    const left = touchingEdges(made.mesh, suspects);
    if (left.length > 0) made = splitEdges(made, left, suspects);
  }
  return made;
}

/** An edge with the half-edges on it, numbered by the corner that they start from. */
interface Touching {
  a: number;
  b: number;
  halves: number[];
}

const next = (e: number) => (e % 3 === 2 ? e - 2 : e + 1);

function touchingEdges({ triangles: t }: Mesh, suspects: ReadonlySet<number>): Touching[] {
  const found = new Map<number, number[]>();
  for (let e = 0; e < t.length; e++) {
    const [a, b] = [t[e], t[next(e)]];
    if (!suspects.has(a) && !suspects.has(b)) continue;
    const key = edgeKey(a, b);
    const halves = found.get(key);
    if (halves) halves.push(e);
    else found.set(key, [e]);
  }
  return [...found.values()].flatMap((halves): Touching[] => {
    const [a, b] = [t[halves[0]], t[next(halves[0])]];
    const forward = halves.filter((e) => t[e] === a).length;
    return halves.length > 2 && 2 * forward === halves.length ? [{ a, b, halves }] : [];
  });
}

/**
 * The half-edges on an edge in pairs, each around one wedge of plastic: counter-clockwise about the edge plastic begins
 * at a facet that runs against it and ends at the next that runs along it.
 */
function wedges(mesh: Mesh, { a, b, halves }: Touching): [number, number][] {
  const { positions: p, triangles: t } = mesh;
  const at = (v: number): Vec3 => [p[3 * v], p[3 * v + 1], p[3 * v + 2]];
  const from = at(a);
  const minus = (u: Vec3, v: Vec3): Vec3 => [u[0] - v[0], u[1] - v[1], u[2] - v[2]];
  const cross = (u: Vec3, v: Vec3): Vec3 => [
    u[1] * v[2] - u[2] * v[1],
    u[2] * v[0] - u[0] * v[2],
    u[0] * v[1] - u[1] * v[0],
  ];
  const dot = (u: Vec3, v: Vec3) => u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
  const along = minus(at(b), from);
  const length = Math.hypot(...along);
  const tips = halves.map((e) => minus(at(t[next(next(e))]), from));
  const first = cross(cross(along, tips[0]), along);
  const second = cross(along, first);
  const around = halves
    .map((e, i) => ({
      e,
      angle: Math.atan2(dot(tips[i], second) / length, dot(tips[i], first)),
      runsAlong: t[e] === a,
    }))
    .sort((x, y) => x.angle - y.angle);
  const waiting = new Set(around);
  return around
    .filter(({ runsAlong }) => !runsAlong)
    .map((begin): [number, number] => {
      const start = around.indexOf(begin);
      for (let k = 1; ; k++) {
        const end = around[(start + k) % around.length];
        if (!end.runsAlong || !waiting.delete(end)) continue;
        return [begin.e, end.e];
      }
    });
}

const facetOf = (e: number) => 3 * Math.floor(e / 3);

/** A place a little further into the plastic behind some facets, on the snap grid. */
function drawnBack(mesh: Mesh, from: Vec3, facets: readonly number[]): Vec3 {
  const sum: Vec3 = [0, 0, 0];
  for (const f of facets) {
    const n = facetCross(mesh, f);
    const length = Math.hypot(...n) || 1;
    for (let axis = 0; axis < 3; axis++) sum[axis] -= n[axis] / length;
  }
  const length = Math.hypot(...sum);
  const way: Vec3 = length > 1e-6 ? sum : [0, 0, 1];
  const most = Math.max(...way.map(Math.abs));
  return from.map((value, axis) => value + SNAP * Math.round(((way[axis] / most) * APART) / SNAP)) as Vec3;
}

/** A vertex of its own for each wedge that meets others in one and is not joined to them around it. */
function splitVertices(mesh: Mesh, touching: readonly Touching[]): { mesh: Mesh; added: number[] } {
  const t = mesh.triangles.slice();
  const paired = new Map<number, number>();
  for (const edge of touching)
    for (const [one, other] of wedges(mesh, edge)) {
      paired.set(one, other);
      paired.set(other, one);
    }
  const ends = new Set(touching.flatMap(({ a, b }) => [a, b]));
  const corners = new Map<number, number[]>([...ends].map((v) => [v, []]));
  for (let e = 0; e < t.length; e++) corners.get(t[e])?.push(e);
  const positions = [...mesh.positions];
  const added: number[] = [];
  for (const [vertex, own] of corners) {
    const fans = fansAround(mesh, own, paired);
    const from: Vec3 = [positions[3 * vertex], positions[3 * vertex + 1], positions[3 * vertex + 2]];
    for (const fan of fans.slice(1)) {
      const moved = drawnBack(mesh, from, fan.map(facetOf));
      const made = positions.length / 3;
      positions.push(...moved);
      added.push(made);
      for (const e of fan) t[e] = made;
    }
  }
  return { mesh: { positions: Float64Array.from(positions), triangles: t }, added };
}

/** The corners at one vertex in groups that hang together across edges, the largest first. */
function fansAround(
  { triangles: t }: Mesh,
  corners: readonly number[],
  paired: ReadonlyMap<number, number>,
): number[][] {
  // By the vertex at an edge's other end: the corner that it leaves from, and the one that it comes back to.
  const leaving = new Map<number, number[]>();
  const coming = new Map<number, number[]>();
  const put = (map: Map<number, number[]>, key: number, e: number) => {
    const list = map.get(key);
    if (list) list.push(e);
    else map.set(key, [e]);
  };
  for (const e of corners) {
    put(leaving, t[next(e)], e);
    put(coming, t[next(next(e))], e);
  }
  const group = new Map<number, number>(corners.map((e) => [e, e]));
  const root = (e: number): number => (group.get(e) === e ? e : root(group.get(e)!));
  for (const e of corners) {
    const own = paired.get(e);
    // The half-edge from this corner, and the one of its neighbour that comes back along it.
    const back = own !== undefined ? [next(own)] : (coming.get(t[next(e)]) ?? []);
    const isPair = own !== undefined || ((leaving.get(t[next(e)]) ?? []).length === 1 && back.length === 1);
    if (isPair) group.set(root(e), root(back[0]));
  }
  const fans = new Map<number, number[]>();
  for (const e of corners) put(fans, root(e), e);
  return [...fans.values()].sort((x, y) => y.length - x.length);
}

/** What still touches along an edge whose ends are one gets a corner half-way, drawn back, in each wedge but the first. */
function splitEdges(solid: Tagged, touching: readonly Touching[], suspects: Set<number>): Tagged {
  const { mesh, runs } = solid;
  const { triangles: t } = mesh;
  const positions = [...mesh.positions];
  const middles = new Map<number, number>();
  const taken = new Set<number>();
  for (const edge of touching)
    for (const [one, other] of wedges(mesh, edge).slice(1)) {
      const facets = [facetOf(one), facetOf(other)];
      // A facet is divided once a round.
      if (facets.some((f) => taken.has(f))) continue;
      for (const f of facets) taken.add(f);
      const half = [0, 1, 2].map(
        (axis) =>
          SNAP * Math.round((positions[3 * edge.a + axis] + positions[3 * edge.b + axis]) / (2 * SNAP)),
      ) as Vec3;
      const made = positions.length / 3;
      positions.push(...drawnBack(mesh, half, facets));
      suspects.add(made);
      middles.set(one, made);
      middles.set(other, made);
    }
  const triangles: number[] = [];
  const kept = runs.map((run) => {
    const start = triangles.length / 3;
    for (let f = 3 * run.start; f < 3 * (run.start + run.count); f += 3) {
      const e = [f, f + 1, f + 2].find((one) => middles.has(one));
      if (e === undefined) {
        triangles.push(t[f], t[f + 1], t[f + 2]);
        continue;
      }
      const [a, b, c, middle] = [t[e], t[next(e)], t[next(next(e))], middles.get(e)!];
      triangles.push(a, middle, c, middle, b, c);
    }
    return { ...run, start, count: triangles.length / 3 - start };
  });
  return {
    mesh: { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) },
    runs: kept,
  };
}
