import type { PreviewWord } from "../../../shared/preview.ts";
import { kinds, type Kind } from "../scene/arrange.ts";
import { element, icon, icons } from "./element.ts";

export interface ControlEvents {
  apart(value: number): void;
  hide(hidden: ReadonlySet<Kind>): void;
  names(shown: boolean): void;
  orbit(turn: number, tilt: number): void;
  zoom(factor: number): void;
  home(): void;
}

const turnStep = 10;
const tiltStep = 7.5;
const zoomStep = 0.86;

/** Everything under the picture that can be pressed or pulled, and the keys that do the same. */
export class Controls {
  readonly top = element("div", { class: "toggles" });
  readonly bottom = element("div", { class: "bar" });
  readonly #slider = element("input", { type: "range", min: 0, max: 1, step: 0.01, id: "apart" });
  readonly #toggles = new Map<Kind | "names", HTMLButtonElement>();
  readonly #events: ControlEvents;
  #hidden = new Set<Kind>();

  constructor(words: Record<PreviewWord, string>, events: ControlEvents) {
    this.#events = events;
    for (const what of [...kinds, "names"] as const) {
      const button = element("button", { type: "button", "aria-pressed": "true" }, words[what]);
      button.addEventListener("click", () => this.#toggle(what));
      this.#toggles.set(what, button);
      this.top.append(button);
    }
    this.#slider.addEventListener("input", () => events.apart(this.apart));

    const press = (word: PreviewWord, path: string, act: () => void) => {
      const button = element(
        "button",
        { type: "button", title: words[word], "aria-label": words[word] },
        icon(path),
      );
      button.addEventListener("click", act);
      return button;
    };
    this.bottom.append(
      element("label", { for: "apart" }, words.apart),
      this.#slider,
      element(
        "div",
        { class: "views" },
        press("turnLeft", icons.turnLeft, () => events.orbit(-turnStep, 0)),
        press("turnRight", icons.turnRight, () => events.orbit(turnStep, 0)),
        press("tiltUp", icons.tiltUp, () => events.orbit(0, tiltStep)),
        press("tiltDown", icons.tiltDown, () => events.orbit(0, -tiltStep)),
        press("farther", icons.farther, () => events.zoom(1 / zoomStep)),
        press("nearer", icons.nearer, () => events.zoom(zoomStep)),
        press("home", icons.home, () => events.home()),
      ),
    );
  }

  get apart(): number {
    return this.#slider.valueAsNumber;
  }

  set apart(value: number) {
    this.#slider.valueAsNumber = value;
  }

  get hidden(): ReadonlySet<Kind> {
    return this.#hidden;
  }

  set hidden(hidden: ReadonlySet<Kind>) {
    this.#hidden = new Set(hidden);
    for (const kind of kinds)
      this.#toggles.get(kind)?.setAttribute("aria-pressed", String(!hidden.has(kind)));
  }

  /** Kinds that this mold has; the others get no button. */
  set present(present: ReadonlySet<Kind>) {
    for (const kind of kinds) {
      const button = this.#toggles.get(kind);
      if (button) button.hidden = !present.has(kind);
    }
  }

  /** Keys for the picture. Gives whether the key meant something. */
  key(event: KeyboardEvent): boolean {
    if (event.ctrlKey || event.metaKey || event.altKey) return false;
    const events = this.#events;
    switch (event.key) {
      case "ArrowLeft":
        events.orbit(-turnStep, 0);
        return true;
      case "ArrowRight":
        events.orbit(turnStep, 0);
        return true;
      case "ArrowUp":
        events.orbit(0, tiltStep);
        return true;
      case "ArrowDown":
        events.orbit(0, -tiltStep);
        return true;
      case "+":
      case "=":
        events.zoom(zoomStep);
        return true;
      case "-":
        events.zoom(1 / zoomStep);
        return true;
      case "Home":
        events.home();
        return true;
      case "[":
      case "]":
        this.apart += event.key === "]" ? 0.05 : -0.05;
        this.#events.apart(this.apart);
        return true;
      default:
        return false;
    }
  }

  #toggle(what: Kind | "names"): void {
    const button = this.#toggles.get(what);
    const on = button?.getAttribute("aria-pressed") !== "true";
    button?.setAttribute("aria-pressed", String(on));
    if (what === "names") return this.#events.names(on);
    if (on) this.#hidden.delete(what);
    else this.#hidden.add(what);
    this.#events.hide(this.#hidden);
  }
}
