import { SHARP_FILLET } from "../tolerances.ts";
import { arc, line, type Curve, type Segment } from "./curve.ts";

/**
 * A regular polygon about the origin with a corner (the middle of its fillet) on +x. Each side
 * is three segments: half a fillet, the straight, half a fillet; a sharp corner keeps its two
 * halves at length 0, so that sharp and rounded polygons correspond.
 */
export function polygon(sides: number, acrossFlats: number, corner: number): Curve {
  const apothem = acrossFlats / 2;
  const radius = corner < SHARP_FILLET ? 0 : Math.min(corner, apothem);
  const half = Math.PI / sides;
  // Fillet centres sit on the spokes of the corners.
  const spoke = (apothem - radius) / Math.cos(half);
  const segments: Segment[] = [];
  const corners: number[] = [];
  for (let side = 0; side < sides; side++) {
    const from = side * 2 * half;
    const to = from + 2 * half;
    const middle = from + half;
    const ax = spoke * Math.cos(from);
    const ay = spoke * Math.sin(from);
    const bx = spoke * Math.cos(to);
    const by = spoke * Math.sin(to);
    corners.push(segments.length);
    segments.push(arc(ax, ay, radius, from, middle));
    if (apothem - radius > 1e-9 * apothem) {
      const nx = radius * Math.cos(middle);
      const ny = radius * Math.sin(middle);
      segments.push(line(ax + nx, ay + ny, bx + nx, by + ny));
    } else {
      // The fillet has eaten the flat: a circle, with its straights at length 0.
      segments.push(arc(0, 0, radius, middle, middle));
    }
    segments.push(arc(bx, by, radius, middle, to));
  }
  return {
    kind: "polygon",
    segments,
    corners,
    leastSamples: 1,
    scale: (factor) => polygon(sides, acrossFlats * factor, radius * factor),
    grow(mm) {
      if (acrossFlats + 2 * mm <= 0) return null;
      return polygon(sides, acrossFlats + 2 * mm, radius > 0 ? Math.max(0, radius + mm) : 0);
    },
  };
}
