import type { Segment } from "./curve.ts";

const SAMPLES = 900;

/** Where a closed curve crosses itself, with the numbers of the two stretches; null where it does not. */
export function findCrossing({ segments }: { segments: readonly Segment[] }): Crossing | null {
  const around = segments.reduce((sum, segment) => sum + segment.length, 0);
  const points: { x: number; y: number; segment: number }[] = [];
  segments.forEach((segment, k) => {
    if (segment.length === 0) return;
    const count = Math.max(6, Math.round((SAMPLES * segment.length) / around));
    for (let i = 0; i < count; i++) {
      const p = segment.at(i / count);
      points.push({ x: p.x, y: p.y, segment: k });
    }
  });
  const n = points.length;
  // Chords in the order of their left ends: only those that overlap in x are compared.
  const chords = points
    .map((p, i) => {
      const q = points[(i + 1) % n];
      return { i, p, q, low: Math.min(p.x, q.x), high: Math.max(p.x, q.x) };
    })
    .sort((a, b) => a.low - b.low || a.i - b.i);
  for (let a = 0; a < n; a++) {
    for (let b = a + 1; b < n && chords[b].low <= chords[a].high; b++) {
      const apart = Math.abs(chords[a].i - chords[b].i);
      if (apart <= 1 || apart === n - 1) continue;
      const at = meet(chords[a].p, chords[a].q, chords[b].p, chords[b].q);
      if (at) return { ...at, first: chords[a].p.segment, second: chords[b].p.segment };
    }
  }
  return null;
}

export interface Crossing {
  x: number;
  y: number;
  first: number;
  second: number;
}

type Point = { x: number; y: number };

/** Where two chords cross, ends included; null where they do not. */
export function meet(a: Point, b: Point, c: Point, d: Point): Point | null {
  const ux = b.x - a.x;
  const uy = b.y - a.y;
  const vx = d.x - c.x;
  const vy = d.y - c.y;
  const cross = ux * vy - uy * vx;
  if (cross === 0) return null;
  const s = ((c.x - a.x) * vy - (c.y - a.y) * vx) / cross;
  const t = ((c.x - a.x) * uy - (c.y - a.y) * ux) / cross;
  return s >= 0 && s <= 1 && t >= 0 && t <= 1 ? { x: a.x + s * ux, y: a.y + s * uy } : null;
}
