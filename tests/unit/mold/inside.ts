import type { Mesh } from "../../../src/dsl/solid/mesh.ts";

/**
 * How many times a closed mesh winds around a point: 1 inside, 0 outside. Sums the solid angles of
 * the facets, so it needs no ray that could graze an edge.
 * Source: Van Oosterom & Strackee, "The Solid Angle of a Plane Triangle", IEEE Trans. Biomed. Eng. 30 (1983).
 */
export function winding(mesh: Mesh, x: number, y: number, z: number): number {
  const { positions: p, triangles: t } = mesh;
  let sum = 0;
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]];
    const ax = p[a] - x;
    const ay = p[a + 1] - y;
    const az = p[a + 2] - z;
    const bx = p[b] - x;
    const by = p[b + 1] - y;
    const bz = p[b + 2] - z;
    const cx = p[c] - x;
    const cy = p[c + 1] - y;
    const cz = p[c + 2] - z;
    const la = Math.hypot(ax, ay, az);
    const lb = Math.hypot(bx, by, bz);
    const lc = Math.hypot(cx, cy, cz);
    const triple = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
    const dots =
      la * lb * lc +
      (ax * bx + ay * by + az * bz) * lc +
      (ax * cx + ay * cy + az * cz) * lb +
      (bx * cx + by * cy + bz * cz) * la;
    sum += 2 * Math.atan2(triple, dots);
  }
  return sum / (4 * Math.PI);
}

/** Numbers in [0, 1) that are the same for the same seed (mulberry32, public domain). */
export function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
