/**
 * Slopes for a cubic through (x, y) that is monotone wherever the data are: no bulge that nobody
 * wrote. Two points give a straight line.
 * Source: Fritsch & Carlson, "Monotone Piecewise Cubic Interpolation", SIAM J. Numer. Anal. 17 (1980).
 */
export function monotoneSlopes(x: readonly number[], y: ArrayLike<number>): number[] {
  const n = x.length;
  const rise: number[] = [];
  for (let i = 0; i < n - 1; i++) rise.push((y[i + 1] - y[i]) / (x[i + 1] - x[i]));
  const slope: number[] = [rise[0]];
  for (let i = 1; i < n - 1; i++) {
    slope.push(rise[i - 1] * rise[i] <= 0 ? 0 : (rise[i - 1] + rise[i]) / 2);
  }
  slope.push(rise[n - 2]);
  for (let i = 0; i < n - 1; i++) {
    if (rise[i] === 0) {
      slope[i] = 0;
      slope[i + 1] = 0;
      continue;
    }
    const a = slope[i] / rise[i];
    const b = slope[i + 1] / rise[i];
    const length = Math.hypot(a, b);
    if (length > 3) {
      slope[i] = (3 * a * rise[i]) / length;
      slope[i + 1] = (3 * b * rise[i]) / length;
    }
  }
  return slope;
}

/**
 * Weights of a cubic on one interval at `t` from 0 to 1: its value is y₀w₀ + y₁w₁ + m₀w₂ + m₁w₃,
 * its derivative (y₁ − y₀)w₄ + m₀w₅ + m₁w₆. Written from both ends, so that t = 0 and t = 1 give
 * the very values of the data.
 */
export function hermiteBasis(width: number, t: number): readonly number[] {
  const s = 1 - t;
  return [
    s * s * (1 + 2 * t),
    t * t * (1 + 2 * s),
    width * t * s * s,
    -width * t * t * s,
    (6 * t * s) / width,
    s * (s - 2 * t),
    t * (t - 2 * s),
  ];
}

/** The same for a straight line between the points: what `side: "straight"` asks for. */
export function straightBasis(width: number, t: number): readonly number[] {
  return [1 - t, t, 0, 0, 1 / width, 0, 0];
}
