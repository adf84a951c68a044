import type { Curve, CurvePoint } from "../outline/curve.ts";

/** A point of an outline with its derivative by u, own frame. */
export interface OutlinePoint {
  x: number;
  y: number;
  dx: number;
  dy: number;
}

/** How u ∈ [0, 1) runs around every outline of a loft. */
export interface Correspondence {
  /** Segment ends and corners of any outline, rising in [0, 1), the first 0. */
  marks: { u: number; corner: boolean }[];
  /** The grid steps no further than this in u. */
  longestStep: number;
  /** Outline `section` at u; at a mark, `side` −1 reads what comes before it and 1 what comes after. */
  at(section: number, u: number, side: -1 | 1): OutlinePoint;
}

/** A segment of length 0 still turns: its direction counts, its speed is all but nothing. */
const LEAST_SPEED = 1e-6;

/**
 * Outlines of one kind with equally many segments correspond segment by segment, linear in arc
 * length, so that the walls of a frustum stay developable even when its fillets change. Others
 * correspond by their own polar angle.
 */
export function correspond(curves: readonly Curve[]): Correspondence {
  const [first] = curves;
  const alike = curves.every(
    (curve) => curve.kind === first.kind && curve.segments.length === first.segments.length,
  );
  return alike ? bySegment(curves) : byAngle(curves);
}

function bySegment(curves: readonly Curve[]): Correspondence {
  const count = curves[0].segments.length;
  const starts = new Float64Array(count + 1);
  for (const curve of curves) {
    const total = curve.segments.reduce((sum, segment) => sum + segment.length, 0);
    for (let i = 0; i < count; i++) starts[i + 1] += curve.segments[i].length / total / curves.length;
  }
  for (let i = 0; i < count; i++) starts[i + 1] += starts[i];
  starts[count] = 1;
  const width = (i: number) => starts[i + 1] - starts[i];
  const used = [...Array(count).keys()].filter((i) => width(i) > 1e-9);
  const corners = new Set(curves.flatMap((curve) => curve.corners));
  const marks: { u: number; corner: boolean }[] = [];
  for (let i = 0; i < count; i++) {
    const last = marks.at(-1);
    const u = starts[i];
    if (u > 1 - 1e-9) {
      marks[0].corner ||= corners.has(i);
    } else if (last && u - last.u < 1e-9) {
      last.corner ||= corners.has(i);
    } else {
      marks.push({ u, corner: corners.has(i) });
    }
  }
  return {
    marks,
    longestStep: Math.min(...used.map(width)) > 0 ? Math.max(...used.map(width)) / curves[0].leastSamples : 1,
    at(section, u, side) {
      const { segment, s } = locate(used, starts, u, side);
      const piece = curves[section].segments[segment];
      const point = piece.at(s);
      const speed = Math.max(piece.length, LEAST_SPEED) / width(segment);
      return { x: point.x, y: point.y, dx: point.tx * speed, dy: point.ty * speed };
    },
  };
}

function locate(
  used: number[],
  starts: Float64Array,
  u: number,
  side: -1 | 1,
): { segment: number; s: number } {
  let low = 0;
  let high = used.length;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if (starts[used[mid]] <= u + 1e-12) low = mid;
    else high = mid;
  }
  const segment = used[low];
  const s = (u - starts[segment]) / (starts[segment + 1] - starts[segment]);
  if (side < 0 && s < 1e-7) return { segment: used[(low + used.length - 1) % used.length], s: 1 };
  return { segment, s: Math.min(1, Math.max(0, s)) };
}

const TURN = 2 * Math.PI;

function byAngle(curves: readonly Curve[]): Correspondence {
  const starts = curves.map((curve) => curve.segments.map((segment) => angleOf(segment.at(0))));
  const found: { u: number; corner: boolean }[] = [];
  curves.forEach((curve, section) => {
    curve.segments.forEach((_, i) => {
      // A circle's start is no mark: nothing changes there.
      if (curve.segments.length > 1)
        found.push({ u: starts[section][i] / TURN, corner: curve.corners.includes(i) });
    });
  });
  found.push({ u: 0, corner: false });
  found.sort((a, b) => a.u - b.u);
  const marks: { u: number; corner: boolean }[] = [];
  for (const mark of found) {
    const last = marks.at(-1);
    if (mark.u > 1 - 1e-9) marks[0].corner ||= mark.corner;
    else if (last && mark.u - last.u < 1e-9) last.corner ||= mark.corner;
    else marks.push({ ...mark });
  }
  return {
    marks,
    longestStep: Math.min(...curves.map((curve) => 1 / (curve.segments.length * curve.leastSamples))),
    at(section, u, side) {
      const point = atAngle(curves[section], starts[section], u * TURN, side);
      const radius2 = point.x * point.x + point.y * point.y;
      const cross = point.x * point.ty - point.y * point.tx;
      const speed = (TURN * radius2) / Math.max(cross, 1e-9 * Math.sqrt(radius2));
      return { x: point.x, y: point.y, dx: point.tx * speed, dy: point.ty * speed };
    },
  };
}

function angleOf(point: { x: number; y: number }): number {
  const angle = Math.atan2(point.y, point.x);
  return angle < -1e-12 ? angle + TURN : Math.max(angle, 0);
}

/** The point of a star-shaped curve at a polar angle. */
function atAngle(curve: Curve, starts: readonly number[], angle: number, side: -1 | 1): CurvePoint {
  const used = curve.segments.map((_, i) => i).filter((i) => curve.segments[i].length > 0);
  const reach = (k: number) => {
    const from = starts[used[k]];
    const to = k + 1 < used.length ? starts[used[k + 1]] : TURN;
    return { from, to };
  };
  for (let k = 0; k < used.length; k++) {
    const { from, to } = reach(k);
    if (angle > to - 1e-10 && k + 1 < used.length && !(side < 0 && angle < to + 1e-10)) continue;
    if (side < 0 && angle < from + 1e-10)
      return curve.segments[used[(k + used.length - 1) % used.length]].at(1);
    const segment = curve.segments[used[k]];
    let low = 0;
    let high = 1;
    for (let round = 0; round < 60 && high - low > 1e-15; round++) {
      const mid = (low + high) / 2;
      const point = segment.at(mid);
      const gone = (((Math.atan2(point.y, point.x) - from) % TURN) + TURN) % TURN;
      // Just behind the start reads as almost a full turn.
      if (gone > TURN - 1e-9 || gone < angle - from) low = mid;
      else high = mid;
    }
    return segment.at((low + high) / 2);
  }
  return curve.segments[used[used.length - 1]].at(1);
}
