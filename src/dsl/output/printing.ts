import type { Printer } from "../mold/model.ts";

/** Printed hours are good to this fraction either way (practice). */
export const HOURS_BAND = 0.3;

export interface PrintEstimate {
  /** g of filament. */
  filamentG: number;
  printHours: number;
}

/**
 * What it takes to print a volume (mm³) solid: mass = volume × density, time = volume / flow.
 * Molds are all shell, so solid is what they come to; light infill in a thick rail saves both.
 */
export function estimatePrint(
  volumeMm3: number,
  { filamentDensity, flow }: Pick<Printer, "filamentDensity" | "flow">,
): PrintEstimate {
  return {
    filamentG: (volumeMm3 / 1000) * filamentDensity,
    printHours: volumeMm3 / flow / 3600,
  };
}
