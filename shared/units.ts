/** How lengths are shown: in mm, or in mm with inches behind them. Designs and files are in mm always. */
export const unitChoices = ["mm", "mmAndInches"] as const;
export type Units = (typeof unitChoices)[number];

const MM_PER_INCH = 25.4;

/** Lengths in mm as one reads them, such as `80 × 80 × 104 mm (3.15 × 3.15 × 4.09 in)`. To `step` mm, 0.5 unless told. */
export function showLengths(mm: readonly number[], units: Units, step = 0.5): string {
  const inMm = `${mm.map((one) => toStep(one, step)).join(" × ")} mm`;
  if (units === "mm") return inMm;
  return `${inMm} (${mm.map((one) => Number((one / MM_PER_INCH).toFixed(2))).join(" × ")} in)`;
}

/** Rounded to a step, without a tail of digits. */
function toStep(value: number, step: number): number {
  return Number((Math.round(value / step) * step).toFixed(6)) + 0;
}
