/**
 * Slopes for a cubic through (x, y) that is monotone wherever the data are: no bulge that nobody
 * wrote. Two points give a straight line.
 * Source: Fritsch & Carlson, "Monotone Piecewise Cubic Interpolation", SIAM J. Numer. Anal. 17 (1980).
 */
export function monotoneSlopes(x: readonly number[], y: readonly number[]): number[] {
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

/** Value and derivative of the cubic on one interval, `t` from 0 to 1 across its width. */
export function hermite(
  width: number,
  t: number,
  y0: number,
  y1: number,
  m0: number,
  m1: number,
): { value: number; derivative: number } {
  // Written from both ends, so that t = 0 and t = 1 give the very values of the data.
  const s = 1 - t;
  return {
    value: y0 * s * s * (1 + 2 * t) + y1 * t * t * (1 + 2 * s) + width * t * s * (m0 * s - m1 * t),
    derivative: (6 * t * s * (y1 - y0)) / width + m0 * s * (s - 2 * t) + m1 * t * (t - 2 * s),
  };
}

/** Straight between the points: what `monotoneSlopes` is to `side: "smooth"`, this is to `"straight"`. */
export function straight(
  width: number,
  t: number,
  y0: number,
  y1: number,
): { value: number; derivative: number } {
  return { value: y0 * (1 - t) + y1 * t, derivative: (y1 - y0) / width };
}
