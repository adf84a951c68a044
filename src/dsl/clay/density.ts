/** Density of the dry mineral grains, g/cm³ (memory). */
const GRAIN = 2.6;

/**
 * Density of plastic clay without air, g/cm³: 1 / ((1 − w)/2.60 + w). `water` is a fraction of the
 * wet mass; pugged clay holds about 0.15–0.25 (practice). (derived)
 */
export function plasticDensity(water: number): number {
  return 1 / ((1 - water) / GRAIN + water);
}

/**
 * Fired mass / wet mass: (1 − w)(1 − LOI). `water` is a fraction of the wet mass, `loi` (loss on
 * ignition) of the dry mass. (derived)
 */
export function firedMassFraction(water: number, loi: number): number {
  return (1 - water) * (1 - loi);
}

/** Mass of plastic clay, g, from its volume in mm³. */
export function wetMass(volumeMm3: number, water: number): number {
  return (volumeMm3 / 1000) * plasticDensity(water);
}
