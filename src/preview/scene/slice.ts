import type { Plane } from "three";

/**
 * Where a plane cuts the surface of a solid: pairs of points, xyz, in the frame of `points`.
 * Triangles that only touch the plane give nothing.
 */
export function slice(
  points: Float32Array,
  triangles: Uint16Array | Uint32Array,
  { normal, constant }: Plane,
): Float32Array {
  const sides = new Float32Array(points.length / 3);
  for (let i = 0; i < sides.length; i++) {
    sides[i] =
      points[3 * i] * normal.x + points[3 * i + 1] * normal.y + points[3 * i + 2] * normal.z + constant;
  }
  const cut: number[] = [];
  const cross = (a: number, b: number) => {
    const t = sides[a] / (sides[a] - sides[b]);
    for (let axis = 0; axis < 3; axis++) {
      const from = points[3 * a + axis];
      cut.push(from + t * (points[3 * b + axis] - from));
    }
  };
  for (let f = 0; f < triangles.length; f += 3) {
    const a = triangles[f];
    const b = triangles[f + 1];
    const c = triangles[f + 2];
    const above = Number(sides[a] > 0) + Number(sides[b] > 0) + Number(sides[c] > 0);
    if (above === 0 || above === 3) continue;
    if (sides[a] > 0 !== sides[b] > 0) cross(a, b);
    if (sides[b] > 0 !== sides[c] > 0) cross(b, c);
    if (sides[c] > 0 !== sides[a] > 0) cross(c, a);
  }
  return Float32Array.from(cut);
}
