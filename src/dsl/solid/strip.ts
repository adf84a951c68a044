/**
 * Triangulates between two chains that run the same way, matching them by rising keys; the ends
 * belong together. Equal keys make a quad whose diagonal runs from the lower start to the upper
 * end. `emit` gets indices into the chains, the lower chain's as they are, the upper's as ~index.
 */
export function joinChains(
  low: ArrayLike<number>,
  high: ArrayLike<number>,
  emit: (a: number, b: number, c: number) => void,
): void {
  let i = 0;
  let k = 0;
  while (i + 1 < low.length || k + 1 < high.length) {
    const nextLow = i + 1 < low.length ? low[i + 1] : Infinity;
    const nextHigh = k + 1 < high.length ? high[k + 1] : Infinity;
    const last = i + 2 >= low.length && k + 2 >= high.length;
    if (i + 1 < low.length && k + 1 < high.length && (last || Math.abs(nextLow - nextHigh) < EQUAL)) {
      emit(i, i + 1, ~(k + 1));
      emit(i, ~(k + 1), ~k);
      i++;
      k++;
    } else if (k + 1 >= high.length || (i + 1 < low.length && nextLow < nextHigh)) {
      emit(i, i + 1, ~k);
      i++;
    } else {
      emit(i, ~(k + 1), ~k);
      k++;
    }
  }
}

/** Keys this close are one; keys are fractions of an outline. */
const EQUAL = 1e-9;
