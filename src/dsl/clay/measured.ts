import type { Bar } from "./bars.ts";
import { dryingShrinkage, firingShrinkage, totalShrinkage } from "./shrinkage.ts";
import { sampleOf, type Sample } from "./statistics.ts";

/** What a set of test bars says about a clay: fractions, of the wet length but for `firing`. */
export interface Measured {
  total: Sample;
  /** From the bars that were measured dry as well; null where none was. */
  drying: Sample | null;
  firing: Sample | null;
  /** The total as far as these bars know it: one of them alone is read to no better than a whole per cent. */
  rounded: number;
}

/** At least one bar. */
export function measure(bars: readonly Bar[]): Measured {
  const total = sampleOf(bars.map(({ wet, fired }) => totalShrinkage(wet, fired)));
  const dried = bars.flatMap(({ wet, dry, fired }) => (dry === undefined ? [] : [{ wet, dry, fired }]));
  return {
    total,
    drying: dried.length > 0 ? sampleOf(dried.map(({ wet, dry }) => dryingShrinkage(wet, dry))) : null,
    firing: dried.length > 0 ? sampleOf(dried.map(({ dry, fired }) => firingShrinkage(dry, fired))) : null,
    rounded: Number(total.mean.toFixed(total.n === 1 ? 2 : 4)),
  };
}
