/**
 * Slopes at the knots of a periodic cubic spline, twice continuously differentiable.
 *
 * @param y values at the knots
 * @param h steps of the parameter, `h[i]` from knot i to the next, around to the first
 *
 * Source: de Boor, A Practical Guide to Splines, ch. IV (periodic end conditions); the cyclic
 * three-term system is solved by the Sherman–Morrison formula.
 */
export function periodicSlopes(y: readonly number[], h: readonly number[]): number[] {
  const n = y.length;
  const at = (i: number) => (i + n) % n;
  const low: number[] = [];
  const middle: number[] = [];
  const high: number[] = [];
  const right: number[] = [];
  for (let i = 0; i < n; i++) {
    const before = h[at(i - 1)];
    const after = h[i];
    low.push(after);
    middle.push(2 * (before + after));
    high.push(before);
    right.push(3 * ((after * (y[i] - y[at(i - 1)])) / before + (before * (y[at(i + 1)] - y[i])) / after));
  }
  // Corners of the cyclic matrix: low[0] and high[n − 1].
  const gamma = -middle[0];
  const diagonal = [...middle];
  diagonal[0] -= gamma;
  diagonal[n - 1] -= (low[0] * high[n - 1]) / gamma;
  const u = new Array<number>(n).fill(0);
  u[0] = gamma;
  u[n - 1] = high[n - 1];
  const x = tridiagonal(low, diagonal, high, right);
  const z = tridiagonal(low, diagonal, high, u);
  const share = low[0] / gamma;
  const factor = (x[0] + share * x[n - 1]) / (1 + z[0] + share * z[n - 1]);
  return x.map((value, i) => value - factor * z[i]);
}

function tridiagonal(
  low: readonly number[],
  middle: readonly number[],
  high: readonly number[],
  right: readonly number[],
): number[] {
  const n = middle.length;
  const c = new Array<number>(n);
  const d = new Array<number>(n);
  c[0] = high[0] / middle[0];
  d[0] = right[0] / middle[0];
  for (let i = 1; i < n; i++) {
    const pivot = middle[i] - low[i] * c[i - 1];
    c[i] = high[i] / pivot;
    d[i] = (right[i] - low[i] * d[i - 1]) / pivot;
  }
  for (let i = n - 2; i >= 0; i--) d[i] -= c[i] * d[i + 1];
  return d;
}
