import { line, type CurvePoint, type Segment } from "./curve.ts";
import { meet } from "./crossing.ts";
import { chain, part, through, totalTurn, turnBetween } from "./segments.ts";

/** Turning between two points of an offset stretch, radians. */
const STEP = 0.05;
/** Directions that differ by less are one, radians. */
const SAME = 1e-9;
/** A joint that turns less is cut as if its neighbours were straight, radians. */
const SMOOTH = 0.02;
/** A corner that folds back further than this has no sensible miter, radians. */
const MOST_TURN = 2.9;

/**
 * The stretches of a counter-clockwise closed curve moved `mm` outwards, inwards when negative.
 * Where a corner opens, both neighbours run on straight until they meet; where it closes, they are
 * cut where they meet. Null where a bend is tighter than the move or neighbours no longer meet.
 */
export function offsetChain(segments: readonly Segment[], mm: number): Segment[] | null {
  if (mm === 0) return [...segments];
  const moved: Segment[] = [];
  for (const segment of segments) {
    const one = offsetOne(segment, mm);
    if (!one) return null;
    moved.push(one);
  }
  const count = moved.length;
  const heads: (Segment | null)[] = moved.map(() => null);
  const tails: (Segment | null)[] = moved.map(() => null);
  const from = moved.map(() => 0);
  const to = moved.map(() => 1);
  for (let i = 0; i < count; i++) {
    const before = (i + count - 1) % count;
    const end = moved[before].at(1);
    const start = moved[i].at(0);
    const turn = turnBetween(end, start);
    if (Math.abs(turn) < SAME || Math.hypot(end.x - start.x, end.y - start.y) < SAME) continue;
    const along =
      ((start.x - end.x) * start.ty - (start.y - end.y) * start.tx) / (end.tx * start.ty - end.ty * start.tx);
    if (turn * mm > 0) {
      if (Math.abs(turn) > MOST_TURN) return null;
      const x = end.x + end.tx * along;
      const y = end.y + end.ty * along;
      tails[before] = line(end.x, end.y, x, y);
      heads[i] = line(x, y, start.x, start.y);
    } else if (Math.abs(turn) < SMOOTH) {
      // All but straight on: what is cut off is all but straight, too.
      to[before] = 1 + along / moved[before].length;
      from[i] = -along / moved[i].length;
    } else {
      const cut = cutCorner(moved[before], moved[i]);
      if (!cut) return null;
      to[before] = cut.first;
      from[i] = cut.second;
    }
  }
  const result: Segment[] = [];
  for (let i = 0; i < count; i++) {
    if (to[i] - from[i] <= 1e-9) return null;
    const kept = part(moved[i], from[i], to[i]);
    result.push(
      chain([heads[i], kept, tails[i]].filter((one) => one !== null && one.length > SAME) as Segment[]),
    );
  }
  return result;
}

function offsetOne(segment: Segment, mm: number): Segment | null {
  const push = (p: CurvePoint): CurvePoint => ({ ...p, x: p.x + p.ty * mm, y: p.y - p.tx * mm });
  const turn = totalTurn(segment);
  const a = push(segment.at(0));
  const b = push(segment.at(1));
  if (turn < SAME) return line(a.x, a.y, b.x, b.y);
  const count = Math.min(1500, Math.max(16, Math.ceil(turn / STEP)));
  const points = Array.from({ length: count + 1 }, (_, i) => push(segment.at(i / count)));
  for (let i = 0; i < count; i++) {
    const p = points[i];
    const q = points[i + 1];
    // Where the moved curve runs backwards it has folded.
    if ((q.x - p.x) * (p.tx + q.tx) + (q.y - p.y) * (p.ty + q.ty) <= 0) return null;
  }
  return through(points);
}

const CUT_SAMPLES = 200;

/** Where the end of one stretch crosses the beginning of the next, as fractions of both. */
function cutCorner(before: Segment, after: Segment): { first: number; second: number } | null {
  let best: { first: number; second: number } | null = null;
  const at = (segment: Segment, i: number) => segment.at(i / CUT_SAMPLES);
  for (let i = CUT_SAMPLES; i > 0 && !best; i--) {
    const p = at(before, i - 1);
    const q = at(before, i);
    for (let k = 0; k < CUT_SAMPLES; k++) {
      if (meet(p, q, at(after, k), at(after, k + 1))) {
        best = { first: (i - 0.5) / CUT_SAMPLES, second: (k + 0.5) / CUT_SAMPLES };
        break;
      }
    }
  }
  if (!best) return null;
  let { first, second } = best;
  for (let round = 0; round < 20; round++) {
    const p = before.at(first);
    const q = after.at(second);
    const cross = p.tx * q.ty - p.ty * q.tx;
    if (Math.abs(cross) < 1e-12) return null;
    const alongP = ((q.x - p.x) * q.ty - (q.y - p.y) * q.tx) / cross;
    const alongQ = ((q.x - p.x) * p.ty - (q.y - p.y) * p.tx) / cross;
    first = Math.min(1, Math.max(0, first + alongP / before.length));
    second = Math.min(1, Math.max(0, second + alongQ / after.length));
    if (Math.abs(alongP) + Math.abs(alongQ) < 1e-11) break;
  }
  return { first, second };
}
