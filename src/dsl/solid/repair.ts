import type { Mesh } from "./mesh.ts";

/** Points of a brought mesh on one place of this grid are one, mm. */
const WELD = 1e-5;
/** A corner this near to another facet's edge lies on it, mm. */
const ON_EDGE = 1e-4;
/** Rounds of splitting edges at corners that lie on them. */
const ROUNDS = 8;

type Vec3 = [number, number, number];

/**
 * A brought mesh with its corners welded, facets without area left out, and facets split where the
 * corner of a neighbour lies on their edge. `open` counts the edges that two facets still do not
 * share in opposite directions; `at` is a place on one of them, mm.
 */
export function repair(given: Mesh): { mesh: Mesh; open: number; at: Vec3 } {
  const mesh = welded(given);
  let triangles = [...mesh.triangles];
  let open = looseEdges(triangles);
  for (let round = 0; round < ROUNDS && open.length > 0; round++) {
    const split = splitAtCorners(mesh.positions, triangles, open);
    if (!split) break;
    triangles = split;
    open = looseEdges(triangles);
  }
  const first = open[0];
  const p = mesh.positions;
  const at: Vec3 = first
    ? ([0, 1, 2].map((i) => (p[3 * first.from + i] + p[3 * first.to + i]) / 2) as Vec3)
    : [0, 0, 0];
  return { mesh: { positions: p, triangles: Uint32Array.from(triangles) }, open: open.length, at };
}

function welded({ positions: p, triangles: t }: Mesh): Mesh {
  const places = new Map<string, number>();
  const coordinates: number[] = [];
  const own = new Int32Array(p.length / 3);
  for (let i = 0; i < own.length; i++) {
    const key = [0, 1, 2].map((k) => Math.round(p[3 * i + k] / WELD)).join(" ");
    let index = places.get(key);
    if (index === undefined) {
      index = coordinates.length / 3;
      places.set(key, index);
      coordinates.push(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
    }
    own[i] = index;
  }
  const triangles: number[] = [];
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [own[t[i]], own[t[i + 1]], own[t[i + 2]]];
    if (a !== b && b !== c && c !== a) triangles.push(a, b, c);
  }
  return { positions: Float64Array.from(coordinates), triangles: Uint32Array.from(triangles) };
}

interface Edge {
  from: number;
  to: number;
  /** Where its facet starts. */
  facet: number;
}

/** Edges without exactly one partner that runs the other way. */
function looseEdges(triangles: readonly number[]): Edge[] {
  const uses = new Map<string, Edge[]>();
  for (let f = 0; f < triangles.length; f += 3) {
    for (let k = 0; k < 3; k++) {
      const edge = { from: triangles[f + k], to: triangles[f + ((k + 1) % 3)], facet: f };
      const key = `${edge.from} ${edge.to}`;
      const known = uses.get(key);
      if (known) known.push(edge);
      else uses.set(key, [edge]);
    }
  }
  return [...uses.values()].flatMap((edges) => {
    const others = uses.get(`${edges[0].to} ${edges[0].from}`)?.length ?? 0;
    return edges.length === 1 && others === 1 ? [] : edges;
  });
}

/** Splits each facet once, at the first corner of a loose edge that lies on its own loose edge; null where none does. */
function splitAtCorners(
  p: Float64Array,
  triangles: readonly number[],
  loose: readonly Edge[],
): number[] | null {
  const corners = [...new Set(loose.flatMap((edge) => [edge.from, edge.to]))];
  const done = new Set<number>();
  const added: number[] = [];
  for (const { from, to, facet } of loose) {
    if (done.has(facet)) continue;
    const between = corners.filter((v) => v !== from && v !== to && liesBetween(p, from, to, v));
    if (between.length === 0) continue;
    const along = (v: number) => distance(p, from, v);
    const ordered = between.sort((a, b) => along(a) - along(b));
    const k = [0, 1, 2].find(
      (i) => triangles[facet + i] === from && triangles[facet + ((i + 1) % 3)] === to,
    )!;
    const opposite = triangles[facet + ((k + 2) % 3)];
    const chain = [from, ...ordered, to];
    done.add(facet);
    for (let i = 0; i + 1 < chain.length; i++)
      if (chain[i] !== opposite && chain[i + 1] !== opposite) added.push(chain[i], chain[i + 1], opposite);
  }
  if (done.size === 0) return null;
  const kept: number[] = [];
  for (let f = 0; f < triangles.length; f += 3)
    if (!done.has(f)) kept.push(triangles[f], triangles[f + 1], triangles[f + 2]);
  return [...kept, ...added];
}

function distance(p: Float64Array, a: number, b: number): number {
  return Math.hypot(p[3 * a] - p[3 * b], p[3 * a + 1] - p[3 * b + 1], p[3 * a + 2] - p[3 * b + 2]);
}

function liesBetween(p: Float64Array, a: number, b: number, v: number): boolean {
  const length = distance(p, a, b);
  const d = [0, 1, 2].map((i) => (p[3 * b + i] - p[3 * a + i]) / length);
  const w = [0, 1, 2].map((i) => p[3 * v + i] - p[3 * a + i]);
  const t = w[0] * d[0] + w[1] * d[1] + w[2] * d[2];
  if (t < ON_EDGE || t > length - ON_EDGE) return false;
  return Math.hypot(w[0] - t * d[0], w[1] - t * d[1], w[2] - t * d[2]) < ON_EDGE;
}
