import { stretch, type Curve, type Motion, type Segment } from "./curve.ts";

/**
 * An ellipse about the origin in four quarters, so that the axes of two ellipses correspond,
 * grown by `offset`.
 */
export function ellipse(width: number, depth: number, offset = 0): Curve | null {
  const a = width / 2;
  const b = depth / 2;
  const motion: Motion = (t) => {
    const cos = Math.cos(t);
    const sin = Math.sin(t);
    return { x: a * cos, y: b * sin, dx: -a * sin, dy: b * cos, ddx: -a * cos, ddy: -b * sin };
  };
  const segments: Segment[] = [];
  for (let quarter = 0; quarter < 4; quarter++) {
    const segment = stretch(motion, (quarter * Math.PI) / 2, ((quarter + 1) * Math.PI) / 2, offset);
    if (!segment) return null;
    segments.push(segment);
  }
  return {
    kind: "ellipse",
    segments,
    corners: [],
    leastSamples: 4,
    scale: (factor) => ellipse(width * factor, depth * factor, offset * factor)!,
    grow: (mm) => ellipse(width, depth, offset + mm),
  };
}
