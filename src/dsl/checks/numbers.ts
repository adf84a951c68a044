/** A length or angle as a sentence shows it: one decimal, none where it is 0. */
export const tenth = (value: number): number => Math.round(value * 10) / 10;

export const hundredth = (value: number): number => Math.round(value * 100) / 100;

/** Direction of a point from the axis, whole degrees 0…359. */
export function angleOf([x, y]: readonly [number, number, number]): number {
  return (Math.round((Math.atan2(y, x) * 180) / Math.PI) + 360) % 360;
}
