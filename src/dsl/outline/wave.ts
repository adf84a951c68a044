import { stretch, type Curve, type Motion, type Segment } from "./curve.ts";

/**
 * A waved circle, r = diameter/2 + amplitude·cos(waves·angle), from crest to crest, grown by
 * `offset`. An amplitude of 0 is a circle that still corresponds crest by crest.
 */
export function wave(diameter: number, waves: number, amplitude: number, offset = 0): Curve | null {
  const motion: Motion = (t) => {
    const r = diameter / 2 + amplitude * Math.cos(waves * t);
    const dr = -amplitude * waves * Math.sin(waves * t);
    const ddr = -amplitude * waves * waves * Math.cos(waves * t);
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
  const segments: Segment[] = [];
  for (let crest = 0; crest < waves; crest++) {
    const from = (crest * 2 * Math.PI) / waves;
    const segment = stretch(motion, from, from + (2 * Math.PI) / waves, offset);
    if (!segment) return null;
    segments.push(segment);
  }
  return {
    kind: "wave",
    segments,
    corners: [],
    leastSamples: 8,
    scale: (factor) => wave(diameter * factor, waves, amplitude * factor, offset * factor)!,
    grow: (mm) => wave(diameter, waves, amplitude, offset + mm),
  };
}
