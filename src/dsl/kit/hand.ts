/** The hand that presses, mm. */
export interface Hand {
  /** Across the knuckles. */
  readonly breadth: number;
  /** From the wrist to the tip of the middle finger. */
  readonly length: number;
  /** Around the flexed forearm. */
  readonly forearm: number;
}

/**
 * A hand between the middle and the largest ones: breadth 88 mm for the 50th percentile of men, 85
 * for the 95th of women; length 180; forearm 310 and 296 [S: ANSUR II, report NATICK/TR-15/007].
 */
export const DEFAULT_HAND: Hand = Object.freeze({ breadth: 85, length: 180, forearm: 300 });
