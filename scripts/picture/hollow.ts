import type { Mesh } from "../../src/dsl/solid/mesh.ts";
import { boundsOf } from "../../src/dsl/solid/measure.ts";

/**
 * The clay in a mold as it looks with an open mouth: the cavity solid, which is what an export
 * holds, without its top face, and with an inside `slab` mm behind its outside. Good for a
 * picture, not for anything that is measured: the inside is drawn toward the axis, level by level.
 */
export function hollowClay(cavity: Mesh, slab: number): Mesh {
  const { positions: p, triangles: t } = cavity;
  const { min, max } = boundsOf(cavity);
  const [x, y] = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2];
  const inside = (v: number): [number, number, number] => {
    const [dx, dy, z] = [p[3 * v] - x, p[3 * v + 1] - y, p[3 * v + 2]];
    const radius = Math.hypot(dx, dy);
    const share = Math.max(0, radius - slab) / (radius || 1);
    return [x + dx * share, y + dy * share, Math.max(z, min[2] + slab)];
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
