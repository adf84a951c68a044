import type { Bar } from "./bars.ts";
import { dryingShrinkage, firingShrinkage, remainingShrinkage, totalShrinkage } from "./shrinkage.ts";
import { sampleOf, type Sample } from "./statistics.ts";

/** What a set of test bars says about a clay: fractions, of the wet length but for `firing`. */
export interface Measured {
  total: Sample;
  /** From the bars that were measured dry as well; null where none was. */
  drying: Sample | null;
  firing: Sample | null;
  /** The total as far as these bars know it: one of them alone is read to no better than a whole per cent. */
  rounded: number;
  /** The same total as its two steps; null where none was measured dry. */
  steps: { drying: number; firing: number } | null;
}

/** At least one bar. */
export function measure(bars: readonly Bar[]): Measured {
  const total = sampleOf(bars.map(({ wet, fired }) => totalShrinkage(wet, fired)));
  const dried = bars.flatMap(({ wet, dry, fired }) => (dry === undefined ? [] : [{ wet, dry, fired }]));
  const digits = total.n === 1 ? 2 : 4;
  const round = (fraction: number, to: number) => Number(fraction.toFixed(to));
  const rounded = round(total.mean, digits);
  const drying = dried.length > 0 ? sampleOf(dried.map(({ wet, dry }) => dryingShrinkage(wet, dry))) : null;
  const first = drying && round(drying.mean, digits);
  return {
    total,
    drying,
    firing: dried.length > 0 ? sampleOf(dried.map(({ dry, fired }) => firingShrinkage(dry, fired))) : null,
    rounded,
    // Two digits more, so that the two compound to the total as it is told.
    steps:
      first === null
        ? null
        : { drying: first, firing: Math.max(0, round(remainingShrinkage(rounded, first), digits + 2)) },
  };
}
