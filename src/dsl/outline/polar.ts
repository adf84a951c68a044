import { FEATURE_ANGLE } from "../tolerances.ts";
import { periodicSlopes } from "./cyclic.ts";
import { stretch, type Curve, type Motion, type Segment } from "./curve.ts";
import { path } from "./path.ts";

/** What a radius as a function of the angle turned out to be; angles in degrees. */
export type PolarCurve = { curve: Curve } | { jump: { angle: number; from: number; to: number } };

const STEP = 0.5;
const COUNT = 360 / STEP;
const RADIANS = Math.PI / 180;
/** A change that stays this large however near one looks, mm, is a jump. */
const JUMP = 0.05;
const NEAREST = 1e-6;

/**
 * The closed curve r(angle) about the origin, sampled each half degree; a kink is found to 10⁻⁵
 * degrees and becomes a corner. `radius` takes degrees from 0 to 360 and is above 0.
 */
export function polar(radius: (degrees: number) => number): PolarCurve {
  const samples = Array.from({ length: COUNT + 1 }, (_, i) => radius(i * STEP));
  for (let i = 0; i < COUNT; i++) {
    if (Math.abs(samples[i + 1] - samples[i]) < 0.1 * samples[i]) continue;
    const jump = findJump(radius, i * STEP, samples[i], (i + 1) * STEP, samples[i + 1]);
    if (jump) return { jump };
  }
  const end = samples[COUNT];
  if (Math.abs(end - samples[0]) > JUMP) return { jump: { angle: 360, from: end, to: samples[0] } };
  samples.pop();
  const kinks = findKinks(radius, samples);
  return { curve: path(null, kinks.length === 0 ? [whole(samples)] : between(radius, samples, kinks)) };
}

function findJump(radius: (degrees: number) => number, from: number, a: number, to: number, b: number) {
  while (to - from > NEAREST) {
    const middle = (from + to) / 2;
    const m = radius(middle);
    if (Math.abs(m - a) >= Math.abs(b - m)) [to, b] = [middle, m];
    else [from, a] = [middle, m];
  }
  return Math.abs(b - a) > JUMP ? { angle: (from + to) / 2, from: a, to: b } : null;
}

const point = (degrees: number, r: number) => ({
  x: r * Math.cos(degrees * RADIANS),
  y: r * Math.sin(degrees * RADIANS),
});

/** Turn of the way at the middle of three neighbours, degrees. */
function turnAt(radius: (degrees: number) => number, angle: number, step: number): number {
  const a = point(angle - step, radius((angle - step + 360) % 360));
  const b = point(angle, radius((angle + 360) % 360));
  const c = point(angle + step, radius((angle + step) % 360));
  const ux = b.x - a.x;
  const uy = b.y - a.y;
  const vx = c.x - b.x;
  const vy = c.y - b.y;
  return Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)) / RADIANS;
}

function findKinks(radius: (degrees: number) => number, samples: readonly number[]): number[] {
  const points = samples.map((r, i) => point(i * STEP, r));
  const at = (i: number) => points[(i + COUNT) % COUNT];
  const turns = samples.map((_, i) => {
    const [a, b, c] = [at(i - 1), at(i), at(i + 1)];
    const u = [b.x - a.x, b.y - a.y];
    const v = [c.x - b.x, c.y - b.y];
    return Math.abs(Math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])) / RADIANS;
  });
  const turn = (i: number) => turns[(i + COUNT) % COUNT];
  const kinks: number[] = [];
  for (let i = 0; i < COUNT; i++) {
    // A kink between two samples is shared by their turns.
    const own = turn(i) + Math.max(turn(i - 1), turn(i + 1));
    if (own < FEATURE_ANGLE || turn(i) < turn(i - 1) || turn(i) <= turn(i + 1)) continue;
    let angle = i * STEP;
    let step = STEP;
    while (step > 1e-5) {
      step /= 4;
      let best = angle;
      let most = -1;
      for (let k = -6; k <= 6; k++) {
        const here = turnAt(radius, angle + k * step, step);
        if (here > most + 1e-9) {
          most = here;
          best = angle + k * step;
        }
      }
      angle = best;
    }
    if (turnAt(radius, angle, 1e-3) > FEATURE_ANGLE) kinks.push((angle + 360) % 360);
  }
  return kinks.sort((a, b) => a - b);
}

/** Without corners: one stretch around, from +x. */
function whole(samples: readonly number[]): Segment {
  const slopes = periodicSlopes(
    samples,
    samples.map(() => STEP * RADIANS),
  );
  const motion = motionOf((i) => ({
    from: i * STEP * RADIANS,
    width: STEP * RADIANS,
    a: samples[i % COUNT],
    b: samples[(i + 1) % COUNT],
    ma: slopes[i % COUNT],
    mb: slopes[(i + 1) % COUNT],
  }));
  return stretch(
    (t) => motion(t, Math.min(COUNT - 1, Math.max(0, Math.floor(t / (STEP * RADIANS))))),
    0,
    2 * Math.PI,
    0,
    COUNT,
  )!;
}

/** From corner to corner; a start on +x stays a start. */
function between(
  radius: (degrees: number) => number,
  samples: readonly number[],
  kinks: readonly number[],
): Segment[] {
  const ends = kinks[0] < 1e-4 ? kinks.map((kink, i) => (i === 0 ? 0 : kink)) : [0, ...kinks];
  return ends.flatMap((from, k) => {
    const to = ends[k + 1] ?? 360;
    const knots = [from];
    for (let i = Math.ceil(from / STEP + 0.02); i * STEP < to - 0.02 * STEP; i++) knots.push(i * STEP);
    knots.push(to);
    // The radius beside a corner is read just inside, where the function may be of two minds.
    const r = knots.map((angle, i) =>
      i === 0 || i === knots.length - 1 ? radius(angle % 360) : samples[Math.round(angle / STEP) % COUNT],
    );
    const x = knots.map((angle) => angle * RADIANS);
    const slopes = naturalSlopes(x, r);
    const motion = motionOf((i) => ({
      from: x[i],
      width: x[i + 1] - x[i],
      a: r[i],
      b: r[i + 1],
      ma: slopes[i],
      mb: slopes[i + 1],
    }));
    const find = (t: number) => {
      let low = 0;
      let high = x.length - 1;
      while (high - low > 1) {
        const middle = (low + high) >> 1;
        if (x[middle] <= t) low = middle;
        else high = middle;
      }
      return low;
    };
    const piece = stretch((t) => motion(t, find(t)), x[0], x[x.length - 1], 0, Math.max(8, x.length));
    return piece ? [piece] : [];
  });
}

/** Slopes of a cubic spline whose ends are fitted by a parabola through three knots; two knots give a line. */
function naturalSlopes(x: readonly number[], y: readonly number[]): number[] {
  const n = x.length;
  const rise = (i: number) => (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
  if (n === 2) return [rise(0), rise(0)];
  const end = (i: number, k: number) => {
    const h = x[i + 1] - x[i];
    const w = x[k + 1] - x[k];
    return ((2 * h + w) * rise(i) - h * rise(k)) / (h + w);
  };
  const low = [0];
  const middle = [1];
  const high = [0];
  const right = [end(0, 1)];
  for (let i = 1; i < n - 1; i++) {
    const before = x[i] - x[i - 1];
    const after = x[i + 1] - x[i];
    low.push(after);
    middle.push(2 * (before + after));
    high.push(before);
    right.push(3 * (after * rise(i - 1) + before * rise(i)));
  }
  low.push(0);
  middle.push(1);
  high.push(0);
  right.push(end(n - 2, n - 3));
  for (let i = 1; i < n; i++) {
    const share = low[i] / middle[i - 1];
    middle[i] -= share * high[i - 1];
    right[i] -= share * right[i - 1];
  }
  for (let i = n - 2; i >= 0; i--) right[i] -= (high[i] * right[i + 1]) / middle[i + 1];
  return right.map((value, i) => value / middle[i]);
}

interface Piece {
  from: number;
  width: number;
  a: number;
  b: number;
  ma: number;
  mb: number;
}

function motionOf(pieceAt: (index: number) => Piece): (t: number, index: number) => ReturnType<Motion> {
  return (t, index) => {
    const { from, width: h, a, b, ma, mb } = pieceAt(index);
    const s = (t - from) / h;
    const c2 = 3 * (b - a) - h * (2 * ma + mb);
    const c3 = 2 * (a - b) + h * (ma + mb);
    const r = a + s * (h * ma + s * (c2 + s * c3));
    const dr = (h * ma + s * (2 * c2 + 3 * s * c3)) / h;
    const ddr = (2 * c2 + 6 * s * c3) / (h * h);
    const cos = Math.cos(t);
    const sin = Math.sin(t);
    return {
      x: r * cos,
      y: r * sin,
      dx: dr * cos - r * sin,
      dy: dr * sin + r * cos,
      ddx: ddr * cos - 2 * dr * sin - r * cos,
      ddy: ddr * sin + 2 * dr * cos - r * sin,
    };
  };
}
