import { facetCross } from "./measure.ts";
import type { Mesh } from "./mesh.ts";

/** An edge that stands out on both sides of a facet by less than this does not cross it, mm: welding and mending move corners by as much. */
const DEEP = 0.01;

type Vec3 = [number, number, number];

/** An edge of one facet goes through another one at `at`; facets by their number. */
export interface Crossing {
  facets: [number, number];
  at: Vec3;
}

/**
 * Facets of a mesh that go through one another, none given twice. Facets that only touch, lie in one
 * plane, or share an edge do not. Boxes are swept along the axis on which facets are shortest, and
 * edges are tried against facets where boxes meet.
 */
export function* crossings(mesh: Mesh): Generator<Crossing> {
  const { low, high } = boxesOf(mesh);
  const count = mesh.triangles.length / 3;
  const axis = sweepAxis(low, high, count);
  const others = [0, 1, 2].filter((k) => k !== axis);
  const order = Array.from({ length: count }, (_, i) => i).sort(
    (a, b) => low[3 * a + axis] - low[3 * b + axis],
  );
  let open: number[] = [];
  for (const facet of order) {
    const from = low[3 * facet + axis];
    open = open.filter((other) => high[3 * other + axis] >= from);
    for (const other of open) {
      const apart = others.some(
        (k) => low[3 * other + k] > high[3 * facet + k] || high[3 * other + k] < low[3 * facet + k],
      );
      if (apart) continue;
      const at = pierced(mesh, facet, other) ?? pierced(mesh, other, facet);
      if (at) yield { facets: [facet, other], at };
    }
    open.push(facet);
  }
}

/** The connected surfaces of a mesh, each with its own facets and all of its corners' numbers kept. */
export function shellsOf({ triangles: t }: Mesh): { of: Int32Array; count: number } {
  const root = new Int32Array(t.reduce((most, v) => Math.max(most, v), -1) + 1).map((_, i) => i);
  const find = (v: number): number => {
    while (root[v] !== v) v = root[v] = root[root[v]];
    return v;
  };
  for (let i = 0; i < t.length; i += 3) {
    root[find(t[i])] = find(t[i + 1]);
    root[find(t[i + 1])] = find(t[i + 2]);
  }
  const numbers = new Map<number, number>();
  const of = new Int32Array(t.length / 3);
  for (let f = 0; f < of.length; f++) {
    const at = find(t[3 * f]);
    if (!numbers.has(at)) numbers.set(at, numbers.size);
    of[f] = numbers.get(at)!;
  }
  return { of, count: numbers.size };
}

function boxesOf({ positions: p, triangles: t }: Mesh): { low: Float64Array; high: Float64Array } {
  const low = new Float64Array(t.length).fill(Infinity);
  const high = new Float64Array(t.length).fill(-Infinity);
  for (let i = 0; i < t.length; i++) {
    const facet = 3 * Math.floor(i / 3);
    for (let k = 0; k < 3; k++) {
      const value = p[3 * t[i] + k];
      low[facet + k] = Math.min(low[facet + k], value);
      high[facet + k] = Math.max(high[facet + k], value);
    }
  }
  return { low, high };
}

function sweepAxis(low: Float64Array, high: Float64Array, count: number): number {
  const share = [0, 1, 2].map((k) => {
    let [least, most, sum] = [Infinity, -Infinity, 0];
    for (let f = 0; f < count; f++) {
      least = Math.min(least, low[3 * f + k]);
      most = Math.max(most, high[3 * f + k]);
      sum += high[3 * f + k] - low[3 * f + k];
    }
    return sum / (most - least || 1);
  });
  return share.indexOf(Math.min(...share));
}

/** Where an edge of `facet` goes through `other`, if one does; edges at a corner that both have cannot. */
function pierced(mesh: Mesh, facet: number, other: number): Vec3 | null {
  const { positions: p, triangles: t } = mesh;
  const corners = [t[3 * other], t[3 * other + 1], t[3 * other + 2]];
  const n = facetCross(mesh, 3 * other);
  const length = Math.hypot(...n);
  if (length === 0) return null;
  const height = (v: number) =>
    [0, 1, 2].reduce((sum, k) => sum + (n[k] / length) * (p[3 * v + k] - p[3 * corners[0] + k]), 0);
  for (let k = 0; k < 3; k++) {
    const [a, b] = [t[3 * facet + k], t[3 * facet + ((k + 1) % 3)]];
    if (corners.includes(a) || corners.includes(b)) continue;
    const [above, below] = [height(a), height(b)];
    if (!(Math.min(above, below) < -DEEP && Math.max(above, below) > DEEP)) continue;
    const share = above / (above - below);
    const at = [0, 1, 2].map((i) => p[3 * a + i] + share * (p[3 * b + i] - p[3 * a + i])) as Vec3;
    if (holds(p, corners, n, at)) return at;
  }
  return null;
}

/** Whether a point in the plane of a facet lies in it. */
function holds(p: Float64Array, corners: number[], n: Vec3, at: Vec3): boolean {
  return corners.every((v, k) => {
    const w = corners[(k + 1) % 3];
    const e = [0, 1, 2].map((i) => p[3 * w + i] - p[3 * v + i]);
    const d = [0, 1, 2].map((i) => at[i] - p[3 * v + i]);
    const cross = [e[1] * d[2] - e[2] * d[1], e[2] * d[0] - e[0] * d[2], e[0] * d[1] - e[1] * d[0]];
    return cross[0] * n[0] + cross[1] * n[1] + cross[2] * n[2] >= 0;
  });
}
