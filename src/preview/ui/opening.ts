import type { PreviewMold } from "../../../shared/preview.ts";
import { Clock } from "./clock.ts";
import { element, icon, iconButton, icons } from "./element.ts";
import { reducedMotion } from "./motion.ts";
import { fill, type Words } from "./words.ts";

export interface OpeningEvents {
  /** How far the parts stand apart, 0…1. The opening order does not hold any more. */
  apart(value: number): void;
  /** Where the opening order stands, in moves. */
  opening(position: number): void;
}

/** Far enough open to see the pot and how the mold comes off. */
const apartAtFirst = 0.35;
const apartStep = 0.05;

/** Two ways of looking between the parts: all at once by a slider, or move by move as at the bench. */
export class OpeningControls {
  readonly body = element("div", { class: "body" });
  readonly #words: Words;
  readonly #events: OpeningEvents;
  readonly #apart = element("input", { type: "range", min: 0, max: 1, step: 0.01, id: "apart" });
  readonly #position = element("input", {
    type: "range",
    min: 0,
    max: 1,
    step: 0.01,
    id: "opening-position",
  });
  readonly #caption = element("p", { class: "caption", id: "opening-caption" });
  readonly #order: HTMLElement;
  readonly #play: HTMLButtonElement;
  readonly #clock: Clock;
  #moves: PreviewMold["moves"] = [];
  /** The opening order rules the picture, not the slider. */
  #inOrder = false;

  constructor(words: Words, events: OpeningEvents) {
    this.#words = words;
    this.#events = events;
    this.#apart.valueAsNumber = apartAtFirst;
    this.#clock = new Clock((position) => this.#moved(position), reducedMotion);
    this.#apart.addEventListener("input", () => this.#pulled());
    this.#position.addEventListener("input", () => this.#clock.put(this.#position.valueAsNumber));
    this.#position.setAttribute("aria-label", words.openingSteps);
    const button = (word: "stepBack" | "stepOn" | "play", path: string, press: () => void) => {
      const made = iconButton(words[word], path);
      made.addEventListener("click", press);
      return made;
    };
    this.#play = button("play", icons.play, () => this.playOrHold());
    this.#order = element(
      "div",
      { class: "order", role: "group", "aria-label": words.openingSteps },
      element(
        "div",
        { class: "row" },
        button("stepBack", icons.stepBack, () => this.step(-1)),
        this.#play,
        button("stepOn", icons.stepOn, () => this.step(1)),
        this.#position,
      ),
      this.#caption,
    );
    this.body.append(
      element("div", { class: "row" }, element("label", { for: "apart" }, words.apart), this.#apart),
      this.#order,
    );
    // Nothing runs on while nobody looks.
    document.addEventListener("visibilitychange", () => {
      if (document.hidden && this.#clock.playing) this.#clock.hold();
    });
  }

  get apart(): number {
    return this.#apart.valueAsNumber;
  }

  /** null while the slider rules. */
  get opening(): number | null {
    return this.#inOrder ? this.#clock.position : null;
  }

  /** What was kept from before. Tells nobody. */
  restore(apart: number | undefined, opening: number | null | undefined): void {
    if (apart !== undefined) this.#apart.valueAsNumber = apart;
    this.#inOrder = typeof opening === "number";
    this.#kept = opening ?? 0;
    this.#describe();
  }
  #kept = 0;

  /** The mold's moves in opening order. The place reached stays, as far as there are moves. */
  set moves(moves: PreviewMold["moves"]) {
    this.#moves = moves;
    this.#order.hidden = moves.length === 0;
    this.#clock.count = moves.length;
    if (this.#kept > 0 && moves.length > 0) {
      this.#clock.put(this.#kept);
      this.#kept = 0;
    }
    if (moves.length === 0) this.#inOrder = false;
    this.#position.max = String(moves.length);
    this.#position.valueAsNumber = this.#clock.position;
    this.#describe();
  }

  step(way: 1 | -1): void {
    if (this.#moves.length > 0) this.#clock.step(way);
  }

  playOrHold(): void {
    if (this.#clock.playing) this.#clock.hold();
    else this.#clock.play();
  }

  /** Parts further apart (1) or closer together (-1). */
  nudge(way: 1 | -1): void {
    this.#apart.valueAsNumber += way * apartStep;
    this.#pulled();
  }

  #pulled(): void {
    this.#inOrder = false;
    if (this.#clock.playing) this.#clock.hold();
    this.#inOrder = false;
    this.#describe();
    this.#events.apart(this.apart);
  }

  #moved(position: number): void {
    this.#inOrder = true;
    this.#position.valueAsNumber = position;
    this.#describe();
    this.#events.opening(position);
  }

  #describe(): void {
    const playing = this.#clock.playing;
    const word = playing ? "pause" : "play";
    this.#play.replaceChildren(icon(playing ? icons.pause : icons.play));
    this.#play.title = this.#words[word];
    this.#play.setAttribute("aria-label", this.#words[word]);
    this.body.classList.toggle("in-order", this.#inOrder);
    const said = this.#said();
    if (this.#caption.textContent !== said) this.#caption.textContent = said;
    this.#position.setAttribute("aria-valuetext", said);
  }

  /** Where the order stands, such as “2 of 5: wall-b leaves”. */
  #said(): string {
    const count = this.#moves.length;
    if (!this.#inOrder) return fill(this.#words.openingReady, count);
    const move = Math.ceil(this.#clock.position - 1e-6);
    if (move <= 0) return fill(this.#words.openingClosed, count);
    return fill(this.#words.openingLeaves, move, count, this.#moves[move - 1]?.part ?? "");
  }
}
