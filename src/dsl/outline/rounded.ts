import { SHARP_FILLET } from "../tolerances.ts";
import { arc, line, type Curve, type Segment } from "./curve.ts";

/** A rectangle about the origin with rounded corners; it starts in the middle of its right side. */
export function rounded(width: number, depth: number, corner: number): Curve {
  const radius = corner < SHARP_FILLET ? 0 : Math.min(corner, width / 2, depth / 2);
  const w = width / 2 - radius;
  const d = depth / 2 - radius;
  const segments: Segment[] = [];
  const corners: number[] = [];
  const straight = (ax: number, ay: number, bx: number, by: number, heading: number) => {
    segments.push(
      Math.hypot(bx - ax, by - ay) > 1e-9 * (width + depth)
        ? line(ax, ay, bx, by)
        : arc(ax, ay, 0, heading - Math.PI / 2, heading - Math.PI / 2),
    );
  };
  const fillet = (cx: number, cy: number, from: number) => {
    segments.push(arc(cx, cy, radius, from, from + Math.PI / 4));
    corners.push(segments.length);
    segments.push(arc(cx, cy, radius, from + Math.PI / 4, from + Math.PI / 2));
  };
  const right = w + radius;
  const back = d + radius;
  straight(right, 0, right, d, Math.PI / 2);
  fillet(w, d, 0);
  straight(w, back, -w, back, Math.PI);
  fillet(-w, d, Math.PI / 2);
  straight(-right, d, -right, -d, 1.5 * Math.PI);
  fillet(-w, -d, Math.PI);
  straight(-w, -back, w, -back, 0);
  fillet(w, -d, 1.5 * Math.PI);
  straight(right, -d, right, 0, Math.PI / 2);
  return {
    kind: "rounded",
    segments,
    corners,
    leastSamples: 1,
    scale: (factor) => rounded(width * factor, depth * factor, radius * factor),
    grow(mm) {
      if (Math.min(width, depth) + 2 * mm <= 0) return null;
      return rounded(width + 2 * mm, depth + 2 * mm, radius > 0 ? Math.max(0, radius + mm) : 0);
    },
  };
}
