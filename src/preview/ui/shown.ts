import type { PreviewView } from "../../../shared/preview.ts";
import { kinds, type Kind } from "../scene/arrange.ts";
import { Choice } from "./choice.ts";
import { element } from "./element.ts";
import type { Words } from "./words.ts";

export type Sizes = NonNullable<PreviewView["sizes"]>;

export interface ShownEvents {
  hide(hidden: ReadonlySet<Kind>): void;
  names(shown: boolean): void;
  sizes(sizes: Sizes): void;
}

const order: readonly Sizes[] = ["fired", "wet", "both", "off"];

/** What the picture shows: kinds of things, their names, and lengths. */
export class ShownControls {
  readonly body = element("div", { class: "body" });
  readonly #events: ShownEvents;
  readonly #toggles = new Map<Kind | "names", HTMLButtonElement>();
  readonly #choice: Choice<Sizes>;
  #hidden = new Set<Kind>();
  #names = true;
  #sizes: Sizes = "off";

  constructor(words: Words, events: ShownEvents) {
    this.#events = events;
    const row = element("div", { class: "toggles", role: "group", "aria-label": words.shown });
    for (const what of [...kinds, "names"] as const) {
      const button = element(
        "button",
        { type: "button", class: "toggle", "aria-pressed": "true" },
        words[what],
      );
      button.addEventListener("click", () => this.#toggle(what));
      this.#toggles.set(what, button);
      row.append(button);
    }
    this.#choice = new Choice<Sizes>(
      "sizes",
      words.sizes,
      [
        ["off", words.sizesOff],
        ["fired", words.sizesFired],
        ["wet", words.sizesWet],
        ["both", words.sizesBoth],
      ],
      (sizes) => this.#choose(sizes),
    );
    this.body.append(
      row,
      element(
        "div",
        { class: "row" },
        element("span", { class: "row-name", "aria-hidden": "true" }, words.sizes),
        this.#choice.root,
      ),
    );
    this.#describe();
  }

  get hidden(): ReadonlySet<Kind> {
    return this.#hidden;
  }

  get names(): boolean {
    return this.#names;
  }

  get sizes(): Sizes {
    return this.#sizes;
  }

  /** What was kept from before. Tells nobody. */
  restore(hidden: readonly string[], names: boolean | undefined, sizes: Sizes | undefined): void {
    this.#hidden = new Set(kinds.filter((kind) => hidden.includes(kind)));
    this.#names = names ?? true;
    this.#sizes = sizes ?? "off";
    this.#describe();
  }

  /** Kinds that this mold has; the others get no button. */
  set present(present: ReadonlySet<Kind>) {
    for (const kind of kinds) {
      const button = this.#toggles.get(kind);
      if (button) button.hidden = !present.has(kind);
    }
  }

  nextSizes(): void {
    this.#choose(order[(order.indexOf(this.#sizes) + 1) % order.length]);
  }

  toggleNames(): void {
    this.#toggle("names");
  }

  #choose(sizes: Sizes): void {
    this.#sizes = sizes;
    this.#describe();
    this.#events.sizes(sizes);
  }

  #toggle(what: Kind | "names"): void {
    if (what === "names") {
      this.#names = !this.#names;
      this.#events.names(this.#names);
    } else {
      if (!this.#hidden.delete(what)) this.#hidden.add(what);
      this.#events.hide(this.#hidden);
    }
    this.#describe();
  }

  #describe(): void {
    for (const [what, button] of this.#toggles) {
      const on = what === "names" ? this.#names : !this.#hidden.has(what);
      button.setAttribute("aria-pressed", String(on));
    }
    this.#choice.value = this.#sizes;
  }
}
