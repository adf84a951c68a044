import { line, stretch, type CurvePoint, type Segment } from "./curve.ts";

/** Smooth stretches of a curve, made, joined, cut and moved. */

/** A cubic from `a` to `d` with the handles `b` and `c`, mm (a Bézier piece). */
export interface Cubic {
  ax: number;
  ay: number;
  bx: number;
  by: number;
  cx: number;
  cy: number;
  dx: number;
  dy: number;
}

/** A handle that lies on its end is drawn this share of the way to the next, so that there is a direction. */
const LEAST_HANDLE = 1e-4;
const PIECES = 8;

/** A cubic read by arc length; null where it has no length. */
export function cubic(given: Cubic): Segment | null {
  const { ax, ay, dx, dy } = given;
  let { bx, by, cx, cy } = given;
  const size = Math.max(
    Math.hypot(bx - ax, by - ay),
    Math.hypot(cx - ax, cy - ay),
    Math.hypot(dx - ax, dy - ay),
  );
  if (size < 1e-9) return null;
  if (Math.hypot(bx - ax, by - ay) < LEAST_HANDLE * size) {
    const [tx, ty] = Math.hypot(cx - ax, cy - ay) < LEAST_HANDLE * size ? [dx, dy] : [cx, cy];
    bx = ax + LEAST_HANDLE * (tx - ax);
    by = ay + LEAST_HANDLE * (ty - ay);
  }
  if (Math.hypot(cx - dx, cy - dy) < LEAST_HANDLE * size) {
    const [tx, ty] = Math.hypot(bx - dx, by - dy) < LEAST_HANDLE * size ? [ax, ay] : [bx, by];
    cx = dx + LEAST_HANDLE * (tx - dx);
    cy = dy + LEAST_HANDLE * (ty - dy);
  }
  const straight = (x: number, y: number) => {
    const across = (x - ax) * (dy - ay) - (y - ay) * (dx - ax);
    const along = (x - ax) * (dx - ax) + (y - ay) * (dy - ay);
    const length2 = (dx - ax) ** 2 + (dy - ay) ** 2;
    return Math.abs(across) < 1e-9 * length2 && along >= 0 && along <= length2;
  };
  if (straight(bx, by) && straight(cx, cy)) return line(ax, ay, dx, dy);
  return stretch(
    (t) => {
      const s = 1 - t;
      const at = (a: number, b: number, c: number, d: number) =>
        s * s * s * a + 3 * s * s * t * b + 3 * s * t * t * c + t * t * t * d;
      const slope = (a: number, b: number, c: number, d: number) =>
        3 * (s * s * (b - a) + 2 * s * t * (c - b) + t * t * (d - c));
      const bend = (a: number, b: number, c: number, d: number) =>
        6 * (s * (c - 2 * b + a) + t * (d - 2 * c + b));
      return {
        x: at(ax, bx, cx, dx),
        y: at(ay, by, cy, dy),
        dx: slope(ax, bx, cx, dx),
        dy: slope(ay, by, cy, dy),
        ddx: bend(ax, bx, cx, dx),
        ddy: bend(ay, by, cy, dy),
      };
    },
    0,
    1,
    0,
    PIECES,
  );
}

/** Several stretches as one, read by their common arc length. At a joint the later one is read. */
export function chain(parts: readonly Segment[]): Segment {
  if (parts.length === 1) return parts[0];
  const starts = new Float64Array(parts.length + 1);
  parts.forEach((part, i) => (starts[i + 1] = starts[i] + part.length));
  const length = starts[parts.length];
  return {
    length,
    at(s) {
      const wanted = s * length;
      let low = 0;
      let high = parts.length;
      while (high - low > 1) {
        const middle = (low + high) >> 1;
        if (starts[middle] <= wanted) low = middle;
        else high = middle;
      }
      return parts[low].at(Math.min(1, (wanted - starts[low]) / parts[low].length));
    },
  };
}

/** The stretch between two fractions of the arc length. */
export function part(whole: Segment, from: number, to: number): Segment {
  if (from <= 0 && to >= 1) return whole;
  return { length: whole.length * (to - from), at: (s) => whole.at(from + (to - from) * s) };
}

export function scaled(whole: Segment, factor: number): Segment {
  return {
    length: whole.length * factor,
    at(s) {
      const p = whole.at(s);
      return { x: p.x * factor, y: p.y * factor, tx: p.tx, ty: p.ty };
    },
  };
}

export function moved(whole: Segment, dx: number, dy: number): Segment {
  return {
    length: whole.length,
    at(s) {
      const p = whole.at(s);
      return { x: p.x + dx, y: p.y + dy, tx: p.tx, ty: p.ty };
    },
  };
}

/** The same stretch travelled from its end to its start. */
export function reversed(whole: Segment): Segment {
  return {
    length: whole.length,
    at(s) {
      const p = whole.at(1 - s);
      return { x: p.x, y: p.y, tx: -p.tx, ty: -p.ty };
    },
  };
}

/**
 * A smooth stretch through points with their directions of travel. The handles are those of the
 * circular arc between two points, so that arcs come out round.
 */
export function through(points: readonly CurvePoint[]): Segment | null {
  const pieces: Segment[] = [];
  for (let i = 0; i + 1 < points.length; i++) {
    const p = points[i];
    const q = points[i + 1];
    const chord = Math.hypot(q.x - p.x, q.y - p.y);
    const turn = turnBetween(p, q);
    const cos = Math.cos(turn / 4);
    const handle = chord / (3 * cos * cos);
    const piece = cubic({
      ax: p.x,
      ay: p.y,
      bx: p.x + p.tx * handle,
      by: p.y + p.ty * handle,
      cx: q.x - q.tx * handle,
      cy: q.y - q.ty * handle,
      dx: q.x,
      dy: q.y,
    });
    if (piece) pieces.push(piece);
  }
  return pieces.length > 0 ? chain(pieces) : null;
}

/** From one direction of travel to another, radians, counter-clockwise positive. */
export function turnBetween(a: CurvePoint, b: CurvePoint): number {
  return Math.atan2(a.tx * b.ty - a.ty * b.tx, a.tx * b.tx + a.ty * b.ty);
}

const TURN_SAMPLES = 32;

/** How far a stretch turns, left and right added up, radians. */
export function totalTurn(segment: Segment): number {
  let sum = 0;
  let before = segment.at(0);
  for (let i = 1; i <= TURN_SAMPLES; i++) {
    const next = segment.at(i / TURN_SAMPLES);
    sum += Math.abs(turnBetween(before, next));
    before = next;
  }
  return sum;
}
