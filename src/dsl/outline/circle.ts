import { arc, type Curve } from "./curve.ts";

/** A circle about the origin. */
export function circle(diameter: number): Curve {
  return {
    kind: "circle",
    segments: [arc(0, 0, diameter / 2, 0, 2 * Math.PI)],
    corners: [],
    leastSamples: 12,
    scale: (factor) => circle(diameter * factor),
    grow: (mm) => (diameter + 2 * mm > 0 ? circle(diameter + 2 * mm) : null),
  };
}
