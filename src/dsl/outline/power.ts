/** base^exponent for a base of at least 0: built on exp and log, which every Node rounds alike, as `**` is not. */
export function power(base: number, exponent: number): number {
  return base === 0 ? (exponent === 0 ? 1 : 0) : Math.exp(exponent * Math.log(base));
}
