import { FEATURE_ANGLE } from "../tolerances.ts";
import type { Curve, CurvePoint, Segment } from "./curve.ts";
import { path } from "./path.ts";
import { through } from "./segments.ts";

/** Points nearer to each other than this, mm, are one. */
const NEAR = 0.02;

/**
 * A curve through the points of a closed ring, counter-clockwise, smooth but where the ring bends
 * by more than 15° at a point: there it has a corner. Null with fewer than three points.
 */
export function ring(given: readonly { x: number; y: number }[]): Curve | null {
  const points = given.filter((p, i) => {
    const before = given[(i + given.length - 1) % given.length];
    return i === 0 || Math.hypot(p.x - before.x, p.y - before.y) >= NEAR;
  });
  const count = points.length;
  if (count < 3) return null;
  const chord = (i: number) => {
    const a = points[(i + count) % count];
    const b = points[(i + 1 + count) % count];
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    return { x: (b.x - a.x) / length, y: (b.y - a.y) / length, length };
  };
  const isCorner = points.map((_, i) => {
    const [a, b] = [chord(i - 1), chord(i)];
    return (
      Math.abs(Math.atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y)) > (FEATURE_ANGLE * Math.PI) / 180
    );
  });
  // The direction of the circle through a point and its neighbours.
  const smooth = (i: number): CurvePoint => {
    const [a, b] = [chord(i - 1), chord(i)];
    const x = a.x * b.length + b.x * a.length;
    const y = a.y * b.length + b.y * a.length;
    const length = Math.hypot(x, y);
    const p = points[i % count];
    return { x: p.x, y: p.y, tx: x / length, ty: y / length };
  };
  // At a corner the arc to the next point is the mirror image of itself.
  const end = (i: number, along: { x: number; y: number }, inner: CurvePoint): CurvePoint => {
    const p = points[i % count];
    const dot = 2 * (along.x * inner.tx + along.y * inner.ty);
    return { x: p.x, y: p.y, tx: dot * along.x - inner.tx, ty: dot * along.y - inner.ty };
  };
  const starts = isCorner.flatMap((corner, i) => (corner ? [i] : []));
  if (starts.length === 0) {
    const around = Array.from({ length: count + 1 }, (_, i) => smooth(i));
    return path(null, [through(around)!]);
  }
  const segments = starts.map((from, k): Segment => {
    const to = starts[k + 1] ?? starts[0] + count;
    const inner = Array.from({ length: to - from - 1 }, (_, i) => smooth(from + 1 + i));
    const straight = (i: number, c: { x: number; y: number }): CurvePoint => ({
      ...points[i % count],
      tx: c.x,
      ty: c.y,
    });
    const first = inner.length > 0 ? end(from, chord(from), inner[0]) : straight(from, chord(from));
    const last =
      inner.length > 0 ? end(to, chord(to - 1), inner[inner.length - 1]) : straight(to, chord(from));
    return through([first, ...inner, last])!;
  });
  return path(null, segments);
}
