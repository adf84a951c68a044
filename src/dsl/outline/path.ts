import { FEATURE_ANGLE } from "../tolerances.ts";
import type { Curve, Segment } from "./curve.ts";
import { findCrossing } from "./crossing.ts";
import { offsetChain } from "./offset.ts";
import { scaled, totalTurn, turnBetween } from "./segments.ts";

/** One sample at least for each of these steps of turning, radians. */
const TURN_STEP = 0.4;

/**
 * A closed curve of any smooth stretches, counter-clockwise, its start where the first stretch
 * begins. Stretches that meet at more than 15° have a corner between them.
 */
export function path(kind: string | null, segments: readonly Segment[]): Curve {
  const corners = segments.flatMap((segment, i) => {
    const before = segments[(i + segments.length - 1) % segments.length];
    const turn = Math.abs(turnBetween(before.at(1), segment.at(0)));
    return turn > (FEATURE_ANGLE * Math.PI) / 180 ? [i] : [];
  });
  const turns = segments.map((segment) => Math.max(1, Math.ceil(totalTurn(segment) / TURN_STEP)));
  const around = turns.reduce((sum, turn) => sum + turn, 0);
  return {
    kind,
    segments,
    corners,
    leastSamples: Math.max(...turns),
    leastAround: Math.max(12, around),
    scale: (factor) =>
      path(
        kind,
        segments.map((segment) => scaled(segment, factor)),
      ),
    grow(mm) {
      const grown = offsetChain(segments, mm);
      if (!grown) return null;
      const curve = path(kind, grown);
      return signedArea(curve) > 0 && !findCrossing(curve) ? curve : null;
    },
  };
}

/** Points along a curve, in order, `each` on every stretch that has a length. */
export function samplePoints(segments: readonly Segment[], each: number): { x: number; y: number }[] {
  return segments.flatMap((segment) =>
    segment.length === 0 ? [] : Array.from({ length: each }, (_, i) => segment.at(i / each)),
  );
}

/** Area inside, mm²; negative when it runs clockwise. */
export function signedArea({ segments }: { segments: readonly Segment[] }): number {
  const points = samplePoints(segments, Math.max(8, Math.ceil(512 / segments.length)));
  return points.reduce((sum, p, i) => {
    const q = points[(i + 1) % points.length];
    return sum + (p.x * q.y - q.x * p.y) / 2;
  }, 0);
}

/** Middle of the area inside. */
export function middleOf({ segments }: { segments: readonly Segment[] }): { x: number; y: number } {
  const points = samplePoints(segments, Math.max(8, Math.ceil(512 / segments.length)));
  let area = 0;
  let x = 0;
  let y = 0;
  points.forEach((p, i) => {
    const q = points[(i + 1) % points.length];
    const cross = p.x * q.y - q.x * p.y;
    area += cross;
    x += (p.x + q.x) * cross;
    y += (p.y + q.y) * cross;
  });
  return { x: x / (3 * area), y: y / (3 * area) };
}
