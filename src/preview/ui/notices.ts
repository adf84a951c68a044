import type { Spot, ToPreview } from "../../../shared/preview.ts";
import { element } from "./element.ts";
import type { Words } from "./words.ts";

type Problem = NonNullable<Extract<ToPreview, { type: "show" }>["problem"]>;
type Button = NonNullable<Extract<ToPreview, { type: "notice" }>["button"]>;

/** Why the picture is from an older text. Says it at once to those who listen. */
export class Banner {
  readonly root = element("div", { class: "banner", role: "alert", hidden: true });
  readonly #words: Words;
  readonly #open: (spot: Spot) => void;
  #shown = "";

  constructor(words: Words, open: (spot: Spot) => void) {
    this.#words = words;
    this.#open = open;
  }

  /** `stale`: a picture is there, of the last text that ran. */
  show(problem: Problem | undefined, stale: boolean): void {
    const shown = JSON.stringify([problem, stale]);
    if (shown === this.#shown) return;
    this.#shown = shown;
    this.root.hidden = problem === undefined;
    this.root.replaceChildren();
    if (!problem) return;
    const end = element("div", { class: "end" });
    this.root.append(element("p", {}, problem.message), end);
    if (stale) end.append(element("p", { class: "hint" }, this.#words.stale));
    const { spot } = problem;
    if (!spot) return;
    const go = element("button", { type: "button" }, `${this.#words.goToLine} ${spot.label}`);
    go.addEventListener("click", () => this.#open(spot));
    end.append(go);
  }
}

/** A sentence in place of a picture, with a button for what can be done about it. */
export class Notice {
  readonly root = element("div", { class: "notice", hidden: true });

  show(sentence: string, button?: Button, press?: (action: Button["action"]) => void): void {
    this.root.hidden = false;
    this.root.replaceChildren(element("p", {}, sentence));
    if (!button) return;
    const made = element("button", { type: "button" }, button.label);
    made.addEventListener("click", () => press?.(button.action));
    this.root.append(made);
  }

  hide(): void {
    this.root.hidden = true;
  }
}
