import type { Mesh } from "./mesh.ts";

const NUMBERS = 12;

/**
 * Squared distance from a point to a triangle.
 * Source: Ericson, Real-Time Collision Detection (2005), 5.1.5.
 */
export class TriangleDistance {
  /** Of each triangle a corner, the two edges from it, and their products with one another. */
  readonly #data: Float64Array;

  constructor({ positions: p, triangles: t }: Mesh) {
    const data = new Float64Array((t.length / 3) * NUMBERS);
    for (let f = 0, at = 0; f < t.length; f += 3, at += NUMBERS) {
      for (let axis = 0; axis < 3; axis++) {
        const a = p[3 * t[f] + axis];
        data[at + axis] = a;
        data[at + 3 + axis] = p[3 * t[f + 1] + axis] - a;
        data[at + 6 + axis] = p[3 * t[f + 2] + axis] - a;
      }
      const product = (i: number, j: number) =>
        data[at + i] * data[at + j] +
        data[at + i + 1] * data[at + j + 1] +
        data[at + i + 2] * data[at + j + 2];
      data[at + 9] = product(3, 3);
      data[at + 10] = product(6, 6);
      data[at + 11] = product(3, 6);
    }
    this.#data = data;
  }

  /** Of the point measured last, the nearest point of the triangle less that point. */
  readonly away: [number, number, number] = [0, 0, 0];

  squared(triangle: number, x: number, y: number, z: number): number {
    const data = this.#data;
    const at = NUMBERS * triangle;
    const apx = x - data[at];
    const apy = y - data[at + 1];
    const apz = z - data[at + 2];
    const abx = data[at + 3];
    const aby = data[at + 4];
    const abz = data[at + 5];
    const acx = data[at + 6];
    const acy = data[at + 7];
    const acz = data[at + 8];
    const d1 = abx * apx + aby * apy + abz * apz;
    const d2 = acx * apx + acy * apy + acz * apz;
    let v = 0;
    let w = 0;
    if (d1 > 0 || d2 > 0) {
      const abac = data[at + 11];
      const d3 = d1 - data[at + 9];
      const d4 = d2 - abac;
      const d5 = d1 - abac;
      const d6 = d2 - data[at + 10];
      const vc = d1 * d4 - d3 * d2;
      const vb = d5 * d2 - d1 * d6;
      const va = d3 * d6 - d5 * d4;
      if (d3 >= 0 && d4 <= d3) v = 1;
      else if (vc <= 0 && d1 >= 0 && d3 <= 0) v = d1 / (d1 - d3);
      else if (d6 >= 0 && d5 <= d6) w = 1;
      else if (vb <= 0 && d2 >= 0 && d6 <= 0) w = d2 / (d2 - d6);
      else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
        w = (d4 - d3) / (d4 - d3 + d5 - d6);
        v = 1 - w;
      } else {
        const whole = va + vb + vc;
        v = vb / whole;
        w = vc / whole;
      }
    }
    const dx = apx - v * abx - w * acx;
    const dy = apy - v * aby - w * acy;
    const dz = apz - v * abz - w * acz;
    this.away[0] = 0 - dx;
    this.away[1] = 0 - dy;
    this.away[2] = 0 - dz;
    return dx * dx + dy * dy + dz * dz;
  }
}
