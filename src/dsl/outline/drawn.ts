import type { Curve, CurvePoint, Segment } from "./curve.ts";
import { middleOf, path, signedArea } from "./path.ts";
import { chain, moved, part, reversed, scaled, turnBetween } from "./segments.ts";

/** Joints that turn less are part of one stretch, radians. */
const SMOOTH = 0.035;

/**
 * A closed chain of stretches as a curve: counter-clockwise, the middle of its area on the origin,
 * its start where it leaves the ray to +x furthest out, stretches joined where they are smooth.
 *
 * @param width extent along x, mm; absent: as drawn
 */
export function drawn(given: readonly Segment[], kind: string | null, width?: number): Curve {
  let segments = [...given];
  if (signedArea({ segments }) < 0) segments = segments.reverse().map(reversed);
  const { x, y } = middleOf({ segments });
  segments = segments.map((segment) => moved(segment, -x, -y));
  if (width !== undefined) {
    const factor = width / widthOf(segments);
    segments = segments.map((segment) => scaled(segment, factor));
  }
  return path(kind, joinSmooth(startOnX(segments)));
}

/** Extent along x, mm. */
export function widthOf(segments: readonly Segment[]): number {
  let low = Infinity;
  let high = -Infinity;
  for (const segment of segments) {
    for (let i = 0; i <= 64; i++) {
      const { x } = segment.at(i / 64);
      low = Math.min(low, x);
      high = Math.max(high, x);
    }
  }
  return high - low;
}

const SAMPLES = 200;

/** Begins the chain at its outermost point on the ray to +x; as it was where the ray misses it. */
function startOnX(segments: Segment[]): Segment[] {
  let best: { segment: number; s: number; x: number } | null = null;
  segments.forEach((segment, k) => {
    let before = segment.at(0);
    for (let i = 1; i <= SAMPLES; i++) {
      const next = segment.at(i / SAMPLES);
      if (before.y < 0 !== next.y < 0) {
        const s = findZero(segment, (i - 1) / SAMPLES, i / SAMPLES);
        const { x } = segment.at(s);
        if (x > 0 && (!best || x > best.x)) best = { segment: k, s, x };
      }
      before = next;
    }
  });
  const found = best as { segment: number; s: number } | null;
  if (!found) return segments;
  const { segment: k, s } = found;
  const around = [...segments.slice(k + 1), ...segments.slice(0, k)];
  if (s * segments[k].length < 1e-6) return [segments[k], ...around];
  if ((1 - s) * segments[k].length < 1e-6) return [...around, segments[k]];
  return [part(segments[k], s, 1), ...around, part(segments[k], 0, s)];
}

function findZero(segment: Segment, low: number, high: number): number {
  const under = segment.at(low).y < 0;
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2;
    if (segment.at(middle).y < 0 === under) low = middle;
    else high = middle;
  }
  return high;
}

function joinSmooth(segments: Segment[]): Segment[] {
  const runs: Segment[][] = [];
  let end: CurvePoint | null = null;
  for (const segment of segments) {
    const start = segment.at(0);
    if (end && Math.abs(turnBetween(end, start)) < SMOOTH) runs[runs.length - 1].push(segment);
    else runs.push([segment]);
    end = segment.at(1);
  }
  return runs.map(chain);
}
