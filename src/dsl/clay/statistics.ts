/** What a set of test bars says about a clay. */
export interface Sample {
  n: number;
  mean: number;
  /** Standard deviation of one bar (n − 1); null for a single bar. */
  sd: number | null;
  /** Standard error of the mean; null for a single bar. */
  se: number | null;
}

/** Mean and spread of measured values, at least one. */
export function sampleOf(values: readonly number[]): Sample {
  const n = values.length;
  if (n === 0) throw new RangeError("a sample needs at least one value");
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  if (n === 1) return { n, mean, sd: null, se: null };
  const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1));
  return { n, mean, sd, se: sd / Math.sqrt(n) };
}

/**
 * Probability that |t| stays below `t` with a whole number of degrees of freedom: the finite series
 * in θ = atan(t / √ν), exact for whole ν. Source: Abramowitz & Stegun, 26.7.3 and 26.7.4.
 */
function studentWithin(t: number, degrees: number): number {
  const theta = Math.atan(t / Math.sqrt(degrees));
  const cos = Math.cos(theta);
  const odd = degrees % 2 === 1;
  let term = odd ? cos : 1;
  let sum = 0;
  for (let k = odd ? 1 : 0; k <= degrees - 2; k += 2) {
    sum += term;
    term *= (cos * cos * (k + 1)) / (k + 2);
  }
  return odd ? (2 / Math.PI) * (theta + Math.sin(theta) * sum) : Math.sin(theta) * sum;
}

/**
 * Student's t that holds 95 % between −t and t (the 0.975 quantile) with `degrees` of freedom, a
 * whole number from 1. Source: Student's t; JCGM 100.
 */
export function studentT95(degrees: number): number {
  if (!Number.isInteger(degrees) || degrees < 1) throw new RangeError(`degrees of freedom: ${degrees}`);
  let low = 0;
  let high = 13;
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (studentWithin(middle, degrees) < 0.95) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * How far, ± mm at 95 %, the mean size of a fired batch may be from `fired` mm because the mean
 * shrinkage is known from so few bars: L·t(n−1)·SE/(1 − s̄). Null for a single bar, which says
 * nothing of its own spread. Source: Student's t; JCGM 100.
 */
export function batchHalfWidth(fired: number, bars: Sample): number | null {
  if (bars.se === null) return null;
  return (fired * studentT95(bars.n - 1) * bars.se) / (1 - bars.mean);
}

/**
 * The same for one future pot: L·t(n−1)·u·√(1 + 1/n)/(1 − s̄). Source: Student's t; JCGM 100.
 */
export function pieceHalfWidth(fired: number, bars: Sample): number | null {
  if (bars.sd === null) return null;
  return (fired * studentT95(bars.n - 1) * bars.sd * Math.sqrt(1 + 1 / bars.n)) / (1 - bars.mean);
}

/**
 * Standard uncertainty of a shrinkage that comes from reading the rule alone, as a fraction:
 * `divisionMm` is the rule's division, read at both ends, each reading evenly anywhere within it
 * (variance d²/12). 0.5 mm on 100 mm gives 0.2 points, so one bar is never good to 0.1 %. (practice)
 */
export function readingUncertainty(lengthMm: number, divisionMm = 0.5): number {
  return (divisionMm * Math.sqrt(2 / 12)) / lengthMm;
}
