import { digestOfSpec } from "./digest.ts";

/** So many answers are kept. */
const MOST = 16;

/**
 * Answers to questions about values of the kit that are costly to answer: a design runs again at each
 * keystroke, and most of them change something else.
 */
export class Remembered<T> {
  readonly #answers = new Map<string, T>();

  /** What was answered to these values before, or what `answer` gives. What throws is not kept. */
  of(values: readonly unknown[], answer: () => T): T {
    const digest = digestOfSpec(values);
    if (digest === null) return answer();
    const given = this.#answers.has(digest) ? this.#answers.get(digest)! : answer();
    // The last asked for goes last.
    this.#answers.delete(digest);
    this.#answers.set(digest, given);
    for (const [oldest] of this.#answers) {
      if (this.#answers.size <= MOST) break;
      this.#answers.delete(oldest);
    }
    return given;
  }
}
