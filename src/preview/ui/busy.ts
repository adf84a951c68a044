import { element } from "./element.ts";

/** What takes no longer needs no word. */
const shownAfterMs = 500;

/** A line along the top while the engine works for longer than a moment. */
export class Busy {
  readonly root = element("div", { class: "busy", hidden: true });
  #timer: ReturnType<typeof setTimeout> | undefined;

  set on(working: boolean) {
    clearTimeout(this.#timer);
    this.root.hidden = true;
    if (working) this.#timer = setTimeout(() => (this.root.hidden = false), shownAfterMs);
  }
}
