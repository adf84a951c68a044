import type { Mesh } from "../../src/dsl/solid/mesh.ts";
import { boundsOf } from "../../src/dsl/solid/measure.ts";

/**
 * The clay in a mold as it looks with an open mouth: the cavity solid, which is what an export
 * holds, without its top face, and with an inside `slab` mm behind its outside. Good for a
 * picture of a pot that widens toward its mouth, not for anything that is measured: the inside is
 * drawn toward the middle of each level.
 */
export function hollowClay(cavity: Mesh, slab: number): Mesh {
  const { positions: p, triangles: t } = cavity;
  const { min, max } = boundsOf(cavity);
  const middle = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2];
  const radius = radiusByHeight(p, middle);
  const inside = (v: number): [number, number, number] => {
    const z = p[3 * v + 2];
    const scale = Math.max(0, 1 - slab / radius(z));
    return [
      middle[0] + (p[3 * v] - middle[0]) * scale,
      middle[1] + (p[3 * v + 1] - middle[1]) * scale,
      z === min[2] ? min[2] + slab : Math.max(z, min[2] + slab),
    ];
  };
  const isMouth = (i: number) => [i, i + 1, i + 2].every((k) => p[3 * t[k] + 2] > max[2] - 1e-6);

  const count = p.length / 3;
  const positions = new Float64Array(2 * p.length);
  positions.set(p);
  for (let v = 0; v < count; v++) positions.set(inside(v), 3 * (count + v));
  const triangles: number[] = [];
  const rim = new Map<string, [number, number]>();
  for (let i = 0; i < t.length; i += 3) {
    if (isMouth(i)) continue;
    const [a, b, c] = t.subarray(i, i + 3);
    triangles.push(a, b, c, count + a, count + c, count + b);
    for (const [from, to] of [
      [a, b],
      [b, c],
      [c, a],
    ]) {
      if (!rim.delete(`${to} ${from}`)) rim.set(`${from} ${to}`, [from, to]);
    }
  }
  for (const [from, to] of rim.values()) {
    triangles.push(to, from, count + from, to, count + from, count + to);
  }
  return { positions, triangles: Uint32Array.from(triangles) };
}

/** Least distance of the vertices from the middle axis, for a height, between the levels that there are. */
function radiusByHeight(p: Float64Array, middle: number[]): (z: number) => number {
  const levels = new Map<number, number>();
  for (let i = 0; i < p.length; i += 3) {
    const z = Math.round(p[i + 2] * 10) / 10;
    const r = Math.hypot(p[i] - middle[0], p[i + 1] - middle[1]);
    // Vertices inside the end faces say nothing about the outside.
    levels.set(z, Math.max(levels.get(z) ?? 0, r));
  }
  const sorted = [...levels].sort(([a], [b]) => a - b);
  return (z) => {
    let best = sorted[0];
    for (const level of sorted) if (Math.abs(level[0] - z) < Math.abs(best[0] - z)) best = level;
    return best[1];
  };
}
