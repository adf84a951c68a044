import type { Outline } from "../kit/outline.ts";
import type { PathPoint } from "../kit/solid-shape.ts";
import { triangulateLoops } from "../solid/cap.ts";
import type { NormalMesh } from "../solid/kernel.ts";
import { pathFrames, type PathFrame } from "./path.ts";

type Vec3 = [number, number, number];

/** A point of an outline with its outward normal, wet mm. */
interface RingPoint {
  x: number;
  y: number;
  nx: number;
  ny: number;
}

/** A sweep as a closed surface, and the planes in which it ends, looking outwards. */
export interface Swept {
  surface: NormalMesh;
  ends: { at: Vec3; normal: Vec3 }[];
  /** Nothing of a section is further from the path than this, wet mm. */
  reach: number;
  /** Where the outline runs backwards, because the path bends more tightly than the outline is wide. */
  crossing: Vec3 | null;
}

/**
 * An outline moved along a path, wet size.
 *
 * @param scale wet size / fired size
 * @param ends how far beyond the path it goes before it ends, wet mm
 * @param beyond how far it runs on behind its ends, wet mm, for what is cut there
 */
export function sweptSurface(
  outline: Outline,
  path: readonly PathPoint[],
  taper: number,
  scale: number,
  ends: number,
  beyond: number,
  tolerance: number,
): Swept {
  const largest = Math.max(1, taper);
  const pieces = ringOf(outline, scale, tolerance / largest);
  const reach = largest * Math.max(...pieces.flat().map((point) => Math.hypot(point.x, point.y)));
  const inner = pathFrames(
    path.map(([x, y, z]) => [x * scale, y * scale, z * scale] as const),
    reach,
    tolerance,
  );
  const first = inner[0];
  const last = inner[inner.length - 1];
  const moved = (frame: PathFrame, by: number): PathFrame => ({
    ...frame,
    at: [0, 1, 2].map((i) => frame.at[i] + by * frame.ahead[i]) as Vec3,
  });
  const frames = [moved(first, -ends - beyond), ...inner, moved(last, ends + beyond)];
  const length = inner.reduce(
    (sum, frame, i) => (i === 0 ? 0 : sum + Math.hypot(...frame.at.map((v, k) => v - inner[i - 1].at[k]))),
    0,
  );
  const slope = (taper - 1) / length;

  const positions: number[] = [];
  const normals: number[] = [];
  const triangles: number[] = [];
  let crossing: Vec3 | null = null;
  const rings = frames.map((frame, f) => {
    const size = 1 + (taper - 1) * frame.share;
    const grows = f > 0 && f + 1 < frames.length ? slope : 0;
    return pieces.map((piece) =>
      piece.map((point) => {
        const place = placed(frame, size * point.x, size * point.y);
        positions.push(...place);
        const support = point.x * point.nx + point.y * point.ny;
        const n = [0, 1, 2].map(
          (i) => point.nx * frame.side[i] + point.ny * frame.up[i] - grows * support * frame.ahead[i],
        );
        const long = Math.hypot(...n);
        normals.push(...n.map((value) => value / long));
        return positions.length / 3 - 1;
      }),
    );
  });
  for (let f = 0; f + 1 < rings.length; f++) {
    const ahead = frames[f].ahead;
    rings[f].forEach((piece, s) => {
      const next = rings[f + 1][s];
      piece.forEach((vertex, i) => {
        const step = [0, 1, 2].map((k) => positions[3 * next[i] + k] - positions[3 * vertex + k]);
        if (step[0] * ahead[0] + step[1] * ahead[1] + step[2] * ahead[2] <= 0)
          crossing ??= positions.slice(3 * vertex, 3 * vertex + 3) as Vec3;
        if (i + 1 === piece.length) return;
        triangles.push(vertex, piece[i + 1], next[i + 1], vertex, next[i + 1], next[i]);
      });
    });
  }
  for (const f of [0, frames.length - 1]) {
    const out = f === 0 ? -1 : 1;
    const loop = pieces.flatMap((piece) => piece.slice(0, -1));
    const size = 1 + (taper - 1) * frames[f].share;
    const start = positions.length / 3;
    for (const point of loop) {
      positions.push(...placed(frames[f], size * point.x, size * point.y));
      normals.push(...frames[f].ahead.map((value) => out * value));
    }
    const cap = triangulateLoops([loop.flatMap((point) => [point.x, point.y])]);
    for (let i = 0; i < cap.length; i += 3) {
      const [a, b, c] = [cap[i], cap[i + 1], cap[i + 2]].map((index) => start + index);
      if (out > 0) triangles.push(a, b, c);
      else triangles.push(a, c, b);
    }
  }
  const end = (frame: PathFrame, out: 1 | -1) => ({
    at: moved(frame, out * ends).at,
    normal: frame.ahead.map((value) => out * value) as Vec3,
  });
  return {
    surface: {
      positions: Float64Array.from(positions),
      normals: Float64Array.from(normals),
      triangles: Uint32Array.from(triangles),
    },
    ends: [end(first, -1), end(last, 1)],
    reach,
    crossing,
  };
}

function placed(frame: PathFrame, x: number, y: number): Vec3 {
  return [0, 1, 2].map((i) => frame.at[i] + x * frame.side[i] + y * frame.up[i]) as Vec3;
}

/** Neighbouring points of an outline turn by no more than this, radians. */
const MOST_TURN = 0.26;

/** An outline as smooth pieces, each with both its ends; wet, about the path, mm. */
function ringOf(outline: Outline, scale: number, tolerance: number): RingPoint[][] {
  const turn = (outline.turned * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const { segments, leastSamples } = outline.curve;
  return segments
    .filter((segment) => segment.length > 1e-9)
    .map((segment) => {
      const at = (s: number): RingPoint => {
        const p = segment.at(s);
        return {
          x: scale * (outline.cx + cos * p.x - sin * p.y),
          y: scale * (outline.cy + sin * p.x + cos * p.y),
          nx: cos * p.ty + sin * p.tx,
          ny: sin * p.ty - cos * p.tx,
        };
      };
      const shares = Array.from({ length: leastSamples + 1 }, (_, i) => i / leastSamples);
      for (let i = 0; i + 1 < shares.length && shares.length < 400;) {
        const middle = (shares[i] + shares[i + 1]) / 2;
        const [a, m, b] = [at(shares[i]), at(middle), at(shares[i + 1])];
        const bend = Math.acos(Math.min(1, Math.max(-1, a.nx * b.nx + a.ny * b.ny)));
        const off = Math.hypot(m.x - (a.x + b.x) / 2, m.y - (a.y + b.y) / 2);
        if (off > tolerance / 2 || bend > MOST_TURN) shares.splice(i + 1, 0, middle);
        else i++;
      }
      return shares.map(at);
    });
}
