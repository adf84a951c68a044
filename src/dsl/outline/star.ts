import type { Curve } from "./curve.ts";

const known = new WeakMap<Curve, number>();
const SAMPLES = 24;

/**
 * The greatest angle between the ray from the centre and the outward normal, degrees: under 90 the
 * curve is star-shaped about its centre and a polar angle names one point of it; above, a ray meets
 * it more than once. 180 where the centre lies outside.
 */
export function starAngle(curve: Curve): number {
  const before = known.get(curve);
  if (before !== undefined) return before;
  let worst = 0;
  let around = 0;
  let last: { x: number; y: number } | null = null;
  for (const segment of curve.segments) {
    if (segment.length === 0) continue;
    const count = Math.max(SAMPLES, curve.leastSamples * 4);
    for (let i = 0; i <= count; i++) {
      const p = segment.at(i / count);
      const across = p.x * p.ty - p.y * p.tx;
      const along = p.x * p.tx + p.y * p.ty;
      worst = Math.max(worst, Math.atan2(Math.abs(along), across));
      if (last) around += Math.atan2(last.x * p.y - last.y * p.x, last.x * p.x + last.y * p.y);
      last = p;
    }
  }
  const once = Math.abs(around - 2 * Math.PI) < 0.5;
  const angle = once ? (worst * 180) / Math.PI : 180;
  known.set(curve, angle);
  return angle;
}
