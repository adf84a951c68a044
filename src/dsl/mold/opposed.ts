import type { Facets } from "../leaving/facets.ts";
import type { Vec3 } from "./model.ts";

/** Walls whose normals are further apart than this look at each other: its cosine, 120°, and a hair more. */
const OPPOSED = -0.5 - 1e-6;
/** Facets from which the other side is looked for. */
const MOST_PLACES = 250;

/**
 * Least distance between walls of the clay that look at each other, mm: from the middle of some facets
 * square inwards to the other side. Null where none do.
 */
export function nearestOpposed({
  positions: p,
  triangles: t,
}: Facets): { distance: number; at: Vec3 } | null {
  const count = t.length / 3;
  const normals = new Float64Array(t.length);
  const edges = new Float64Array(2 * t.length);
  for (let f = 0; f < count; f++) {
    const [a, b, c] = [3 * t[3 * f], 3 * t[3 * f + 1], 3 * t[3 * f + 2]];
    for (let k = 0; k < 3; k++) {
      edges[6 * f + k] = p[b + k] - p[a + k];
      edges[6 * f + 3 + k] = p[c + k] - p[a + k];
    }
    const [ux, uy, uz, vx, vy, vz] = edges.subarray(6 * f, 6 * f + 6);
    const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const length = Math.hypot(n[0], n[1], n[2]) || 1;
    for (let k = 0; k < 3; k++) normals[3 * f + k] = n[k] / length;
  }
  const step = Math.max(1, Math.floor(count / MOST_PLACES));
  let best: { distance: number; at: Vec3 } | null = null;
  for (let f = 0; f < count; f += step) {
    const [a, b, c] = [3 * t[3 * f], 3 * t[3 * f + 1], 3 * t[3 * f + 2]];
    const at = [0, 1, 2].map((k) => (p[a + k] + p[b + k] + p[c + k]) / 3) as Vec3;
    const way = [0, 1, 2].map((k) => -normals[3 * f + k]) as Vec3;
    let distance = Infinity;
    let other = -1;
    for (let g = 0; g < count; g++) {
      if (g === f) continue;
      const d = hit(p, 3 * t[3 * g], edges, 6 * g, at, way);
      if (d > 1e-3 && d < distance) {
        distance = d;
        other = g;
      }
    }
    if (other < 0 || (best && distance >= best.distance)) continue;
    const facing = -(
      way[0] * normals[3 * other] +
      way[1] * normals[3 * other + 1] +
      way[2] * normals[3 * other + 2]
    );
    if (facing < OPPOSED) best = { distance, at };
  }
  return best;
}

/**
 * How far along a ray a triangle is met, mm; −1 where it is not.
 * Source: Möller & Trumbore, "Fast, minimum storage ray-triangle intersection", JGT 2(1), 1997.
 */
function hit(p: Float64Array, a: number, e: Float64Array, i: number, at: Vec3, way: Vec3): number {
  const hx = way[1] * e[i + 5] - way[2] * e[i + 4];
  const hy = way[2] * e[i + 3] - way[0] * e[i + 5];
  const hz = way[0] * e[i + 4] - way[1] * e[i + 3];
  const det = e[i] * hx + e[i + 1] * hy + e[i + 2] * hz;
  if (Math.abs(det) < 1e-12) return -1;
  const sx = at[0] - p[a];
  const sy = at[1] - p[a + 1];
  const sz = at[2] - p[a + 2];
  const u = (sx * hx + sy * hy + sz * hz) / det;
  if (u < 0 || u > 1) return -1;
  const qx = sy * e[i + 2] - sz * e[i + 1];
  const qy = sz * e[i] - sx * e[i + 2];
  const qz = sx * e[i + 1] - sy * e[i];
  const v = (way[0] * qx + way[1] * qy + way[2] * qz) / det;
  if (v < 0 || u + v > 1) return -1;
  return (e[i + 3] * qx + e[i + 4] * qy + e[i + 5] * qz) / det;
}
