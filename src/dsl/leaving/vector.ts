export type Vec3 = [number, number, number];

export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** a + factor·b */
export const along = (a: Vec3, factor: number, b: Vec3): Vec3 => [
  a[0] + factor * b[0],
  a[1] + factor * b[1],
  a[2] + factor * b[2],
];

/** Unit vector, or null for a vector shorter than `least`. */
export function unit(a: Vec3, least = 1e-12): Vec3 | null {
  const length = Math.hypot(a[0], a[1], a[2]);
  return length < least ? null : [a[0] / length, a[1] / length, a[2] / length];
}

/**
 * Two unit vectors square to `m` and to each other, right-handed with it (first × second = m). The
 * first is level, so that directions counted from it include the level ones and the steepest ones.
 */
export function squareTo(m: Vec3): [Vec3, Vec3] {
  const first = unit([-m[1], m[0], 0], 1e-9) ?? [1, 0, 0];
  const second = unit(cross(m, first))!;
  return [first, second];
}

/** Unit direction from the middle of a vessel at `degrees` around it, level. */
export const level = (degrees: number): Vec3 => [
  Math.cos((degrees * Math.PI) / 180),
  Math.sin((degrees * Math.PI) / 180),
  0,
];

/** Sine of an angle in degrees. */
export const sinDeg = (degrees: number): number => Math.sin((degrees * Math.PI) / 180);

/** Angle in degrees whose sine this is; a value that rounding has put beyond ±1 counts as ±1. */
export const asinDeg = (sine: number): number => (Math.asin(Math.min(1, Math.max(-1, sine))) * 180) / Math.PI;
