import { stretch, type Curve, type Motion, type Segment } from "./curve.ts";
import { power } from "./power.ts";

/**
 * |x/a|ⁿ + |y/b|ⁿ = 1 about the origin, in four quarters that correspond to those of an ellipse,
 * grown by `offset`. Travelled by the angle of the circle that it is drawn out from.
 */
export function superellipse(width: number, depth: number, exponent: number, offset = 0): Curve | null {
  const a = width / 2;
  const b = depth / 2;
  const n = exponent;
  const motion: Motion = (t) => {
    const cos = Math.cos(t);
    const sin = Math.sin(t);
    const c = Math.abs(cos);
    const s = Math.abs(sin);
    // ρ(t) = S^(−1/n) with S = |cos|ⁿ + |sin|ⁿ
    const sum = power(c, n) + power(s, n);
    const dSum = n * (power(s, n - 1) * Math.sign(sin) * cos - power(c, n - 1) * Math.sign(cos) * sin);
    // Beside an axis the second derivative of a low power has no bound; the point on it has the limit's.
    const ddSum =
      n *
      ((n - 1) * (power(Math.max(s, 1e-9), n - 2) * c * c + power(Math.max(c, 1e-9), n - 2) * s * s) -
        power(s, n) -
        power(c, n));
    const rho = power(sum, -1 / n);
    const dRho = (-rho * dSum) / (n * sum);
    const ddRho = rho * ((1 / n) * (1 / n + 1) * (dSum / sum) * (dSum / sum) - ddSum / (n * sum));
    return {
      x: a * rho * cos,
      y: b * rho * sin,
      dx: a * (dRho * cos - rho * sin),
      dy: b * (dRho * sin + rho * cos),
      ddx: a * (ddRho * cos - 2 * dRho * sin - rho * cos),
      ddy: b * (ddRho * sin + 2 * dRho * cos - rho * sin),
    };
  };
  const segments: Segment[] = [];
  for (let quarter = 0; quarter < 4; quarter++) {
    const segment = stretch(motion, (quarter * Math.PI) / 2, ((quarter + 1) * Math.PI) / 2, offset, 96);
    if (!segment) return null;
    segments.push(segment);
  }
  return {
    kind: "ellipse",
    segments,
    corners: [],
    leastSamples: 8,
    scale: (factor) => superellipse(width * factor, depth * factor, n, offset * factor)!,
    grow: (mm) => superellipse(width, depth, n, offset + mm),
  };
}
