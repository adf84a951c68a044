import { describe, expect, test } from "vitest";
import { creasedCorners, unpackPositions } from "../../../src/preview/scene/creased.ts";

/** Two unit squares that meet along the y axis, the second folded up by `degrees`. */
function fold(degrees: number) {
  const angle = (degrees * Math.PI) / 180;
  const positions = Float32Array.from(
    [
      [-1, 0, 0],
      [0, 0, 0],
      [0, 1, 0],
      [-1, 1, 0],
      [Math.cos(angle), 0, Math.sin(angle)],
      [Math.cos(angle), 1, Math.sin(angle)],
    ].flat(),
  );
  return { positions, triangles: Uint32Array.from([0, 1, 2, 0, 2, 3, 1, 4, 5, 1, 5, 2]) };
}

const normalAt = (normals: Float32Array, corner: number) => [...normals.subarray(3 * corner, 3 * corner + 3)];

describe("normals at corners", () => {
  test("a fold below the crease angle is smooth: both sides share the mean normal", () => {
    const { positions, triangles } = fold(20);
    const { normals } = creasedCorners(positions, triangles, 32);
    const half = (10 * Math.PI) / 180;
    const left = normalAt(normals, 1);
    const right = normalAt(normals, 6);
    left.forEach((value, axis) => expect(value).toBeCloseTo(right[axis], 6));
    // Three of the faces around this corner lie on the folded side's half: weights are by area.
    expect(Math.atan2(-left[0], left[2])).toBeGreaterThan(half);
    expect(Math.atan2(-left[0], left[2])).toBeLessThan(2 * half);
  });

  test("a fold above the crease angle is sharp: each side keeps its own", () => {
    const { positions, triangles } = fold(60);
    const { normals } = creasedCorners(positions, triangles, 32);
    normalAt(normals, 1).forEach((value, axis) => expect(value).toBeCloseTo([0, 0, 1][axis], 6));
    const angle = Math.PI / 3;
    const folded = [-Math.sin(angle), 0, Math.cos(angle)];
    normalAt(normals, 6).forEach((value, axis) => expect(value).toBeCloseTo(folded[axis], 6));
  });

  test("a triangle without area changes no other normal and gives no NaN", () => {
    const { positions, triangles } = fold(60);
    const flat = creasedCorners(positions, Uint32Array.from([...triangles, 0, 1, 1]), 32);
    expect(flat.normals.some(Number.isNaN)).toBe(false);
    const whole = creasedCorners(positions, triangles, 32);
    expect(flat.normals.subarray(0, whole.normals.length)).toEqual(whole.normals);
  });
});

test("16-bit positions come back within half a step of where they were", () => {
  const min = [-40, 0, 5] as const;
  const max = [60, 0, 125] as const;
  const points = [-40, 0, 5, 60, 0, 125, 12.345, 0, 77.7];
  const packed = Uint16Array.from(points, (value, i) => {
    const width = max[i % 3] - min[i % 3];
    return width === 0 ? 0 : Math.round(((value - min[i % 3]) / width) * 65535);
  });
  const back = unpackPositions(packed, min, max);
  points.forEach((value, i) => {
    const step = (max[i % 3] - min[i % 3]) / 65535;
    expect(Math.abs(back[i] - value)).toBeLessThanOrEqual(step / 2 + 1e-5);
  });
});
