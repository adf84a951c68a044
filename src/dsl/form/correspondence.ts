import type { Curve, CurvePoint, Segment } from "../outline/curve.ts";
import { starAngle } from "../outline/star.ts";

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

/** A ray that meets a curve flatter than this from its normal, degrees, does not name a point of it well. */
const MOST_SLANT = 88;

/**
 * Outlines of one kind with equally many segments correspond segment by segment, linear in arc
 * length, so that the walls of a frustum stay developable even when its fillets change. Others
 * correspond by their own polar angle where each is star-shaped about its centre; else by arc
 * length, between corners where they have equally many, from the start where they do not.
 */
export function correspond(curves: readonly Curve[]): Correspondence {
  const [first] = curves;
  const alike = curves.every(
    (curve) =>
      curve.kind !== null && curve.kind === first.kind && curve.segments.length === first.segments.length,
  );
  if (alike) return bySegment(curves);
  return curves.every((curve) => starAngle(curve) < MOST_SLANT) ? byAngle(curves) : byLength(curves);
}

/** Number of samples that a curve asks for all around. */
const leastAround = (curve: Curve) => curve.leastAround ?? curve.segments.length * curve.leastSamples;

/** Sorted marks in [0, 1); those that fall together are one, a corner if any of them is. */
function mergeMarks(found: { u: number; corner: boolean }[]): { u: number; corner: boolean }[] {
  const marks: { u: number; corner: boolean }[] = [];
  for (const mark of [{ u: 0, corner: false }, ...found].sort((a, b) => a.u - b.u)) {
    const last = marks.at(-1);
    if (mark.u > 1 - 1e-9) marks[0].corner ||= mark.corner;
    else if (last && mark.u - last.u < 1e-9) last.corner ||= mark.corner;
    else marks.push({ ...mark });
  }
  return marks;
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
    longestStep: Math.max(...used.map(width)) / Math.max(...curves.map((curve) => curve.leastSamples)),
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
  const rounds = curves.map(roundOf);
  const marks = mergeMarks(
    curves.flatMap((curve, section) =>
      // A circle's start is no mark: nothing changes there.
      curve.segments.length > 1
        ? rounds[section].starts.map((angle, k) => ({
            u: (angle / TURN) % 1,
            corner: curve.corners.includes(rounds[section].used[k]),
          }))
        : [],
    ),
  );
  return {
    marks,
    longestStep: Math.min(...curves.map((curve) => 1 / leastAround(curve))),
    at(section, u, side) {
      const point = atAngle(curves[section], rounds[section], u * TURN, side);
      const radius2 = point.x * point.x + point.y * point.y;
      const cross = point.x * point.ty - point.y * point.tx;
      const speed = (TURN * radius2) / Math.max(cross, 1e-9 * Math.sqrt(radius2));
      return { x: point.x, y: point.y, dx: point.tx * speed, dy: point.ty * speed };
    },
  };
}

/** The segments that have a length and the polar angles at which they start, rising from the first in [0, 2π). */
interface Round {
  used: number[];
  starts: number[];
}

function roundOf(curve: Curve): Round {
  const used = curve.segments.map((_, i) => i).filter((i) => curve.segments[i].length > 0);
  const starts: number[] = [];
  for (const i of used) {
    const p = curve.segments[i].at(0);
    let angle = Math.atan2(p.y, p.x);
    if (angle < -1e-12) angle += TURN;
    const last = starts.at(-1);
    while (last !== undefined && angle < last - 1e-9) angle += TURN;
    starts.push(Math.max(angle, last ?? 0));
  }
  return { used, starts };
}

/** The point of a star-shaped curve at a polar angle in [0, 2π). */
function atAngle(curve: Curve, { used, starts }: Round, wanted: number, side: -1 | 1): CurvePoint {
  const count = used.length;
  const segmentAt = (k: number): Segment => curve.segments[used[(k + count) % count]];
  const angle = wanted < starts[0] - 1e-10 ? wanted + TURN : wanted;
  let k = 0;
  while (k + 1 < count && starts[k + 1] <= angle + 1e-10) k++;
  const from = starts[k];
  const to = k + 1 < count ? starts[k + 1] : starts[0] + TURN;
  if (angle > to - 1e-10) return side < 0 ? segmentAt(k).at(1) : segmentAt(k + 1).at(0);
  if (side < 0 && angle < from + 1e-10) return segmentAt(k - 1).at(1);
  const segment = segmentAt(k);
  const gone = (p: CurvePoint) => {
    const past = (((Math.atan2(p.y, p.x) - from) % TURN) + TURN) % TURN;
    // Just behind the start reads as almost a full turn, and the end of a full circle as nothing.
    return past > TURN - 1e-9 ? 0 : past;
  };
  const target = angle - from;
  let low = 0;
  let high = 1;
  let s = to > from ? target / (to - from) : 0;
  for (let round = 0; round < 80; round++) {
    const p = segment.at(s);
    const past = s >= 1 ? to - from : gone(p);
    const miss = target - past;
    if (Math.abs(miss) < 1e-14) break;
    if (miss > 0) low = s;
    else high = s;
    if (high - low < 1e-15) break;
    // Newton on the angle, whose slope is known from ray and tangent; halved where it would leave the bracket.
    const across = p.x * p.ty - p.y * p.tx;
    const step = (miss * (p.x * p.x + p.y * p.y)) / (across * segment.length);
    s = across > 0 && s + step > low && s + step < high ? s + step : (low + high) / 2;
  }
  return segment.at(s);
}

/** By arc length: between corners where all curves have equally many, else from the start. */
function byLength(curves: readonly Curve[]): Correspondence {
  const lengths = curves.map((curve) => {
    const ends = [0];
    for (const segment of curve.segments) ends.push(ends[ends.length - 1] + segment.length);
    return ends;
  });
  const total = lengths.map((ends) => ends[ends.length - 1]);
  const matched = curves.every((curve) => curve.corners.length === curves[0].corners.length);
  // Fractions of each curve's length that correspond, from 0 to 1, and the u of each: their mean.
  const knots = curves.map((curve, section) => {
    const corners = matched ? curve.corners.map((i) => lengths[section][i] / total[section]) : [];
    return corners.length > 0 && corners[0] > 1e-9
      ? [0, ...corners, 1]
      : [...(corners.length > 0 ? corners : [0]), 1];
  });
  const even = knots.every((own) => own.length === knots[0].length);
  const used = even ? knots : curves.map(() => [0, 1]);
  const us = used[0].map((_, k) => used.reduce((sum, own) => sum + own[k], 0) / used.length);
  const toLength = (section: number, u: number) => mapBetween(us, used[section], u);
  const toU = (section: number, share: number) => mapBetween(used[section], us, share);
  const marks = mergeMarks(
    curves.flatMap((curve, section) =>
      curve.segments.map((_, i) => ({
        u: toU(section, lengths[section][i] / total[section]).value,
        corner: curve.corners.includes(i),
      })),
    ),
  );
  return {
    marks,
    longestStep: Math.min(...curves.map((curve) => 1 / leastAround(curve))),
    at(section, u, side) {
      const ends = lengths[section];
      const share = toLength(section, u);
      const wanted = share.value * total[section];
      const near = 1e-10 * total[section];
      const { segments } = curves[section];
      let k = 0;
      while (k + 1 < segments.length && ends[k + 1] <= wanted + near) k++;
      if (side < 0 && wanted < ends[k] + near) {
        k = (k + segments.length - 1) % segments.length;
        while (segments[k].length === 0) k = (k + segments.length - 1) % segments.length;
        return spedUp(segments[k].at(1), share.slopeBefore * total[section]);
      }
      const p = segments[k].at(Math.min(1, Math.max(0, (wanted - ends[k]) / segments[k].length)));
      return spedUp(p, share.slope * total[section]);
    },
  };
}

function spedUp(p: CurvePoint, speed: number): OutlinePoint {
  return { x: p.x, y: p.y, dx: p.tx * speed, dy: p.ty * speed };
}

/** Piecewise linear map between two rising lists, with its slope after the point and before it. */
function mapBetween(from: readonly number[], to: readonly number[], value: number) {
  let k = 0;
  while (k + 2 < from.length && from[k + 1] <= value + 1e-12) k++;
  const slopeOf = (i: number) => (to[i + 1] - to[i]) / (from[i + 1] - from[i]);
  const slope = slopeOf(k);
  const before = value < from[k] + 1e-10 ? (k + from.length - 2) % (from.length - 1) : k;
  return { value: to[k] + slope * (value - from[k]), slope, slopeBefore: slopeOf(before) };
}
