/** A point of a curve in plan with the unit direction of travel, counter-clockwise around the curve. */
export interface CurvePoint {
  x: number;
  y: number;
  tx: number;
  ty: number;
}

/** A smooth stretch of a curve between two marks. */
export interface Segment {
  /** Arc length, mm; 0 for the fillet of a sharp corner, which still turns. */
  readonly length: number;
  /** The point at fraction `s` (0…1) of the arc length. */
  at(s: number): CurvePoint;
}

/**
 * A closed curve in its own frame, centre at the origin, counter-clockwise, as a chain of segments.
 * The start of the first segment is u = 0 and lies on +x.
 */
export interface Curve {
  /** Curves of one kind with equally many segments correspond segment by segment; null: it has no sides to match. */
  readonly kind: string | null;
  readonly segments: readonly Segment[];
  /** Indices of the segments that start at a corner: the middle of a fillet, or a sharp corner. */
  readonly corners: readonly number[];
  /** Least number of samples on each segment, whatever the tolerance. */
  readonly leastSamples: number;
  /** Least number of samples all around; absent: that of its segments together. */
  readonly leastAround?: number;
  scale(factor: number): Curve;
  /** The curve at `mm` outside this one, inside when negative; null where it would fold or vanish. */
  grow(mm: number): Curve | null;
}

export function line(ax: number, ay: number, bx: number, by: number): Segment {
  const dx = bx - ax;
  const dy = by - ay;
  const length = Math.hypot(dx, dy);
  const tx = dx / length;
  const ty = dy / length;
  return { length, at: (s) => ({ x: ax + dx * s, y: ay + dy * s, tx, ty }) };
}

/** A circular arc, counter-clockwise from angle `a` to angle `b`, radians. A radius of 0 is a corner that turns on the spot. */
export function arc(cx: number, cy: number, radius: number, a: number, b: number): Segment {
  return {
    length: radius * (b - a),
    at(s) {
      const angle = a + (b - a) * s;
      const cos = Math.cos(angle);
      const sin = Math.sin(angle);
      return { x: cx + radius * cos, y: cy + radius * sin, tx: -sin, ty: cos };
    },
  };
}

/** A smooth function of t: position, first and second derivative. */
export type Motion = (t: number) => {
  x: number;
  y: number;
  dx: number;
  dy: number;
  ddx: number;
  ddy: number;
};

const GAUSS_NODES = [0, 0.5384693101056831, -0.5384693101056831, 0.906179845938664, -0.906179845938664];
const GAUSS_WEIGHTS = [
  0.5688888888888889, 0.47862867049936647, 0.47862867049936647, 0.23692688505618908, 0.23692688505618908,
];

/**
 * The stretch t0…t1 of a motion, moved `offset` mm to its right (outwards on a counter-clockwise
 * curve) and read by arc length, which is summed over `pieces` equal steps of t. Null where the
 * offset folds: a bend tighter than the offset.
 */
export function stretch(motion: Motion, t0: number, t1: number, offset = 0, pieces = 64): Segment | null {
  const speed = (t: number) => {
    const m = motion(t);
    const v = Math.hypot(m.dx, m.dy);
    if (offset === 0) return v;
    const bend = (m.dx * m.ddy - m.dy * m.ddx) / (v * v * v);
    return v * (1 + bend * offset);
  };
  const step = (t1 - t0) / pieces;
  const lengths = new Float64Array(pieces + 1);
  for (let i = 0; i < pieces; i++) {
    let sum = 0;
    for (let k = 0; k < GAUSS_NODES.length; k++) {
      const v = speed(t0 + step * (i + 0.5 + GAUSS_NODES[k] / 2));
      if (v <= 0) return null;
      sum += GAUSS_WEIGHTS[k] * v;
    }
    lengths[i + 1] = lengths[i] + (sum * step) / 2;
  }
  const length = lengths[pieces];
  const timeAt = (s: number) => {
    if (s <= 0) return t0;
    if (s >= 1) return t1;
    const wanted = s * length;
    let low = 0;
    let high = pieces;
    while (high - low > 1) {
      const mid = (low + high) >> 1;
      if (lengths[mid] <= wanted) low = mid;
      else high = mid;
    }
    const start = t0 + step * low;
    let t = start + (step * (wanted - lengths[low])) / (lengths[low + 1] - lengths[low]);
    for (let round = 0; round < 4; round++) {
      let gone = 0;
      const half = (t - start) / 2;
      for (let k = 0; k < GAUSS_NODES.length; k++)
        gone += GAUSS_WEIGHTS[k] * speed(start + half * (1 + GAUSS_NODES[k]));
      const miss = wanted - lengths[low] - gone * half;
      t = Math.min(start + step, Math.max(start, t + miss / speed(t)));
      if (Math.abs(miss) < 1e-12 * length) break;
    }
    return t;
  };
  return {
    length,
    at(s) {
      const m = motion(timeAt(s));
      const v = Math.hypot(m.dx, m.dy);
      const tx = m.dx / v;
      const ty = m.dy / v;
      return { x: m.x + ty * offset, y: m.y - tx * offset, tx, ty };
    },
  };
}
