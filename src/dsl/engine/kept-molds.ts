import type { MoldView, Quality } from "../../../shared/engine.ts";
import type { Finding } from "../../../shared/finding.ts";
import type { CallId } from "../../../shared/place.ts";
import type { Mold } from "../kit/mold.ts";
import { digestOfSpec } from "../kit/digest.ts";

/** What a build says of one mold. */
export interface Shown {
  view: MoldView;
  findings: Finding[];
  /** The calls that made faces of it. */
  faces: readonly CallId[];
}

/** Triangles that are kept at most: a carafe idle, and some ten coarse pots beside it. */
const MOST_TRIANGLES = 200_000;

/**
 * What was computed of the last molds, by what they were made of: a mold that comes again, because
 * another one of its design was changed, a slider went back, or a tried fix was taken, is not
 * computed again.
 */
export class KeptMolds {
  readonly #kept = new Map<string, { shown: Shown; triangles: number }>();
  #triangles = 0;

  /**
   * Gives what is known of a mold, or computes it. Where the fine one is known the coarse one is not
   * asked for: a word in a comment does not blur the picture. What cannot be computed throws and is
   * not kept.
   */
  of(mold: Mold, name: string, quality: Quality, compute: () => Shown): Shown {
    const digest = digestOfSpec(mold);
    if (digest === null) return compute();
    const keyFor = (wanted: Quality) => JSON.stringify([wanted, name, digest]);
    const key = keyFor(quality);
    const known = (quality === "typing" ? this.#take(keyFor("idle")) : undefined) ?? this.#take(key);
    if (known) return known;
    const shown = compute();
    const triangles = shown.view.surfaces.reduce(
      (sum, { geometry }) => sum + (geometry?.triangles.length ?? 0) / 3,
      0,
    );
    this.#kept.set(key, { shown, triangles });
    this.#triangles += triangles;
    for (const [oldest, { triangles }] of this.#kept) {
      if (this.#triangles <= MOST_TRIANGLES) break;
      this.#kept.delete(oldest);
      this.#triangles -= triangles;
    }
    return shown;
  }

  /** What is known by this key, and goes last from now on: the last asked for. */
  #take(key: string): Shown | undefined {
    const known = this.#kept.get(key);
    if (!known) return undefined;
    this.#kept.delete(key);
    this.#kept.set(key, known);
    return known.shown;
  }
}
