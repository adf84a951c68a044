import { element } from "./element.ts";

const restMs = 2000;

/** One polite live region, at most every two seconds; of what comes meanwhile only the last is said. */
export class Announcer {
  readonly root = element("div", { class: "hidden-word", role: "status", "aria-live": "polite" });
  #last = -restMs;
  #timer = 0;

  say(sentence: string): void {
    clearTimeout(this.#timer);
    const wait = Math.max(0, this.#last + restMs - performance.now());
    this.#timer = setTimeout(() => {
      this.#last = performance.now();
      if (this.root.textContent !== sentence) this.root.textContent = sentence;
    }, wait);
  }
}
