/**
 * Linear shrinkage of clay, as fractions. Lengths may be in any one unit. Definitions after
 * ASTM C326, “Drying and Firing Shrinkages of Ceramic Whiteware Clays” (memory).
 */

/** No clay in use shrinks this much; a larger fraction is a slip of the pen. */
export const SHRINKAGE_BELOW = 0.3;

/**
 * Drying shrinkage: wet (plastic) and dry length → fraction of the wet length. ASTM C326 (memory).
 */
export function dryingShrinkage(wet: number, dry: number): number {
  return (wet - dry) / wet;
}

/**
 * Firing shrinkage: dry and fired length → fraction of the *dry* length. ASTM C326 (memory).
 */
export function firingShrinkage(dry: number, fired: number): number {
  return (dry - fired) / dry;
}

/**
 * Total shrinkage: wet (plastic) and fired length → fraction of the wet length. ASTM C326 (memory).
 */
export function totalShrinkage(wet: number, fired: number): number {
  return (wet - fired) / wet;
}

/**
 * What several shrinkages, one after the other, come to. They compound and never add:
 * 1 − S = (1 − S₁)(1 − S₂)… None gives 0. (derived)
 */
export function compoundShrinkage(...steps: number[]): number {
  return 1 - steps.reduce((kept, step) => kept * (1 - step), 1);
}

/** The step that is left when `first` of `total` is over: drying and total → firing. (derived) */
export function remainingShrinkage(total: number, first: number): number {
  return 1 - (1 - total) / (1 - first);
}

/**
 * Fired size × scale = size of the clay when it is pressed: (1 − used) / (1 − total). `used` is what
 * the slab has already shrunk by then, 0 straight off the roller, which is also the scale of cutters
 * and templates. 1 + total in its place leaves the pot short by total² of its size. (derived)
 */
export function moldScale(total: number, used = 0): number {
  return (1 - used) / (1 - total);
}

/** Loss of volume from the linear shrinkages along the three axes; one is enough when they are equal. (derived) */
export function volumeShrinkage(x: number, y = x, z = x): number {
  return 1 - (1 - x) * (1 - y) * (1 - z);
}

/**
 * Drying shrinkage when only the total is known: half of it, as equal compounding steps. Drying
 * alone is mostly 5–8 % (memory) of a stoneware's 10–14 % (memory), so this is a guide and no more.
 */
export function guessDrying(total: number): number {
  return 1 - Math.sqrt(1 - total);
}
