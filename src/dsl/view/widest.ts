export interface Point {
  x: number;
  y: number;
}

/** Lengths that differ by less are one length, mm; of those the one nearest to the x axis is shown. */
const SAME = 0.05;

/**
 * The two points that are farthest from each other, from left to right: square to their line
 * nothing lies beyond them, so that their distance is what calipers read. Null for fewer than two
 * points or where all fall together.
 */
export function widestPair(points: readonly Point[]): { from: Point; to: Point; width: number } | null {
  const hull = convexHull(points);
  const count = hull.length;
  if (count < 2) return null;
  let widest = 0;
  const opposite = opposites(hull);
  for (const [i, k] of opposite) widest = Math.max(widest, distance(hull[i], hull[k]));
  let best: { from: Point; to: Point; slope: number } | null = null;
  for (const [i, k] of opposite) {
    if (distance(hull[i], hull[k]) < widest - SAME) continue;
    const [from, to] = hull[i].x <= hull[k].x ? [hull[i], hull[k]] : [hull[k], hull[i]];
    const slope = Math.abs(to.y - from.y) / (Math.abs(to.x - from.x) || 1e-12);
    if (!best || slope < best.slope - 1e-9) best = { from, to, slope };
  }
  return best && { from: best.from, to: best.to, width: distance(best.from, best.to) };
}

const distance = (a: Point, b: Point) => Math.hypot(b.x - a.x, b.y - a.y);

const cross = (o: Point, a: Point, b: Point) => (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);

/** Counter-clockwise, without points on its edges [S: Andrew, Information Processing Letters 9(5), 1979]. */
function convexHull(points: readonly Point[]): Point[] {
  const sorted = [...points].sort((a, b) => a.x - b.x || a.y - b.y);
  const chain = (list: readonly Point[]) => {
    const kept: Point[] = [];
    for (const point of list) {
      while (kept.length > 1 && cross(kept[kept.length - 2], kept[kept.length - 1], point) <= 0) kept.pop();
      kept.push(point);
    }
    return kept.slice(0, -1);
  };
  if (sorted.length < 2) return sorted;
  const hull = [...chain(sorted), ...chain(sorted.reverse())];
  return hull.length === 2 && distance(hull[0], hull[1]) === 0 ? [hull[0]] : hull;
}

/** Pairs of vertices that two parallel lines can touch at once; the farthest pair is among them [S: Shamos, Computational Geometry, 1978]. */
function opposites(hull: readonly Point[]): [number, number][] {
  const count = hull.length;
  if (count === 2) return [[0, 1]];
  const pairs: [number, number][] = [];
  let k = 1;
  for (let i = 0; i < count; i++) {
    const next = hull[(i + 1) % count];
    const height = (j: number) => cross(hull[i], next, hull[j % count]);
    pairs.push([i, k % count]);
    while (height(k + 1) > height(k)) pairs.push([i, ++k % count]);
    // Where an edge is parallel to this one, its far end counts too.
    if (height(k + 1) === height(k)) pairs.push([i, (k + 1) % count]);
  }
  return pairs;
}
