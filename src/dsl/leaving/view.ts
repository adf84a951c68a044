import type { Mesh } from "../solid/mesh.ts";
import { squareTo, type Vec3 } from "./vector.ts";

/** A mesh as seen along a direction: places across it and heights along it, mm, one a vertex. */
export interface View {
  mesh: Mesh;
  /** Unit direction; heights grow along it. */
  m: Vec3;
  /** Unit, square to m; first × second = m. */
  first: Vec3;
  second: Vec3;
  u: Float64Array;
  v: Float64Array;
  h: Float64Array;
}

export function viewAlong(mesh: Mesh, m: Vec3): View {
  const [first, second] = squareTo(m);
  const count = mesh.positions.length / 3;
  const u = new Float64Array(count);
  const v = new Float64Array(count);
  const h = new Float64Array(count);
  const p = mesh.positions;
  for (let i = 0, j = 0; i < count; i++, j += 3) {
    u[i] = p[j] * first[0] + p[j + 1] * first[1] + p[j + 2] * first[2];
    v[i] = p[j] * second[0] + p[j + 1] * second[1] + p[j + 2] * second[2];
    h[i] = p[j] * m[0] + p[j + 1] * m[1] + p[j + 2] * m[2];
  }
  return { mesh, m, first, second, u, v, h };
}

/** Twice the area that facet `f` covers as seen along m, mm²; negative where it faces against m. */
export function seenArea({ mesh, u, v }: View, f: number): number {
  const t = mesh.triangles;
  const a = t[3 * f];
  const b = t[3 * f + 1];
  const c = t[3 * f + 2];
  return (u[b] - u[a]) * (v[c] - v[a]) - (v[b] - v[a]) * (u[c] - u[a]);
}

/** A facet that covers less than this is seen edge on, mm² (twice the area). */
export const EDGE_ON = 1e-9;
