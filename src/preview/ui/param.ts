import type { ParamLine, Spot } from "../../../shared/preview.ts";
import { element } from "./element.ts";
import { fill, type Words } from "./words.ts";

export type ParamPhase = "try" | "write" | "drop";

export interface ParamEvents {
  param(name: string, value: number, phase: ParamPhase): void;
  open(spot: Spot): void;
}

/** After the last arrow key the number goes into the code. */
const keysRestMs = 400;
/** What the design says later than this after a number was written or dropped is its answer, whatever it is. */
const answerMs = 4000;

/**
 * One number of the design. Dragging or arrow keys try it, at most once a frame; letting go, Enter or
 * a rest writes it; Escape goes back. While that is under way the design's own value waits.
 */
export class ParamRow {
  readonly root = element("li", { class: "param" });
  readonly #words: Words;
  readonly #events: ParamEvents;
  readonly #name: string;
  readonly #slider = element("input", { type: "range" });
  readonly #number = element("input", { type: "number" });
  #param: ParamLine;
  /** What to go back to while a try is under way. */
  #before: number | undefined;
  #frame = 0;
  #rest = 0;
  /** The last word was ours: until the design says this value, its older answers do not move the slider. */
  #told: { value: number; at: number } | undefined;
  #typed = false;
  /** A finger or mouse button is down on the slider. */
  #pulled = false;
  /** Timer of a pull that has ended and is still to be settled. */
  #letGo = 0;
  /** Escape was pressed while it was: until it is let go the slider stays where it was. */
  #dropped = false;

  constructor(words: Words, param: ParamLine, events: ParamEvents) {
    this.#words = words;
    this.#events = events;
    this.#name = param.name;
    this.#param = param;
    const id = `param-${param.name}`;
    this.#number.id = id;
    this.#slider.setAttribute("aria-label", param.name);

    this.#slider.addEventListener("pointerdown", () => this.#pull());
    this.#slider.addEventListener("input", () => {
      if (this.#dropped) this.#put(this.#shown);
      else this.#try(this.#slider.valueAsNumber, !this.#pulled);
    });
    this.#number.addEventListener("input", (event) => {
      this.#typed = event instanceof InputEvent && event.inputType !== "";
      const value = this.#number.valueAsNumber;
      if (value >= this.#param.min && value <= this.#param.max) this.#try(value, !this.#typed);
    });
    this.#number.addEventListener("change", () => {
      if (this.#typed) this.#write(this.#number.valueAsNumber);
    });
    this.#number.addEventListener("keydown", (event) => {
      if (event.key === "Enter") this.#write(this.#number.valueAsNumber);
    });
    for (const input of [this.#slider, this.#number]) {
      input.addEventListener("keydown", (event) => {
        if (event.key !== "Escape") return;
        if (this.#before !== undefined) this.#drop();
        else this.#put(this.#told?.value ?? this.#param.value);
        event.preventDefault();
      });
      input.addEventListener("blur", () => {
        if (this.#rest !== 0) this.#write(this.#slider.valueAsNumber);
      });
    }
    this.update(param, undefined);
  }

  /** `held` says why nothing can be written just now. */
  update(param: ParamLine, held: string | undefined): void {
    const shape = (one: ParamLine): string => `${one.writable} ${one.spot.label}`;
    if (this.root.childElementCount === 0 || shape(param) !== shape(this.#param)) this.#build(param);
    this.#param = param;
    for (const input of [this.#slider, this.#number]) {
      input.min = String(param.min);
      input.max = String(param.max);
      input.title = fill(this.#words.numberRange, param.min, param.max);
      // What is in the hand stays there: the value that is tried may be what does not run.
      input.disabled = held !== undefined && this.#before === undefined;
    }
    // From its least value on, so that the value in the code need not be a whole number of steps.
    this.#slider.step = String(param.step);
    this.#number.step = String(param.step);
    const told = this.#told;
    if (told && (param.value === told.value || performance.now() - told.at > answerMs))
      this.#told = undefined;
    if (this.#before === undefined && this.#told === undefined) this.#put(param.value);
  }

  get #shown(): number {
    return this.#number.valueAsNumber;
  }

  #build(param: ParamLine): void {
    if (param.writable) {
      this.root.replaceChildren(
        element("label", { for: this.#number.id }, param.name),
        this.#slider,
        this.#number,
      );
      return;
    }
    const link = element(
      "button",
      { type: "button", class: "link" },
      fill(this.#words.computedAt, param.spot.label),
    );
    link.addEventListener("click", () => this.#events.open(param.spot));
    this.root.replaceChildren(
      element("span", { class: "name" }, param.name),
      link,
      element("output", {}, String(param.value)),
    );
  }

  #put(value: number): void {
    this.#slider.valueAsNumber = value;
    // A number field that somebody types into keeps what they have typed so far.
    if (!(this.#typed && this.#before !== undefined)) this.#number.valueAsNumber = value;
    const output = this.root.querySelector("output");
    if (output) output.textContent = String(value);
  }

  #pull(): void {
    // A busy page hears of the next pull before it comes to the end of the last.
    if (this.#letGo !== 0) this.#release();
    this.#pulled = true;
    this.#dropped = false;
    const release = () => {
      window.removeEventListener("pointerup", release, true);
      window.removeEventListener("pointercancel", release, true);
      // After the slider's own last event.
      this.#letGo = setTimeout(() => this.#release(), 0);
    };
    window.addEventListener("pointerup", release, true);
    window.addEventListener("pointercancel", release, true);
  }

  #release(): void {
    clearTimeout(this.#letGo);
    this.#letGo = 0;
    this.#pulled = false;
    if (!this.#dropped && this.#before !== undefined) this.#write(this.#slider.valueAsNumber);
    this.#dropped = false;
  }

  /** `rests`: with no further key it is written. */
  #try(value: number, rests: boolean): void {
    this.#before ??= this.#told?.value ?? this.#param.value;
    this.#forget();
    this.#slider.valueAsNumber = value;
    if (!this.#typed) this.#number.valueAsNumber = value;
    this.#frame ||= requestAnimationFrame(() => {
      this.#frame = 0;
      this.#events.param(this.#name, this.#tidy(this.#slider.valueAsNumber), "try");
    });
    if (rests) this.#rest = setTimeout(() => this.#write(this.#slider.valueAsNumber), keysRestMs);
  }

  #write(wanted: number): void {
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
    this.#typed = false;
    const before = this.#before ?? this.#told?.value ?? this.#param.value;
    const tried = this.#before !== undefined;
    this.#before = undefined;
    clearTimeout(this.#rest);
    this.#rest = 0;
    const within = Math.max(this.#param.min, Math.min(this.#param.max, wanted));
    const value = Number.isNaN(wanted) ? before : this.#tidy(within);
    this.#put(value);
    if (value !== before) this.#tell(value, "write");
    else if (tried) this.#tell(before, "drop");
  }

  #drop(): void {
    const before = this.#before ?? this.#param.value;
    this.#forget();
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
    this.#before = undefined;
    this.#typed = false;
    this.#dropped = this.#pulled;
    this.#put(before);
    this.#tell(before, "drop");
  }

  #tell(value: number, phase: "write" | "drop"): void {
    this.#told = { value, at: performance.now() };
    this.#events.param(this.#name, value, phase);
  }

  #forget(): void {
    clearTimeout(this.#rest);
    this.#rest = 0;
    this.#told = undefined;
  }

  /** Without the dust of binary fractions: no finer than the step and the design's own digits. */
  #tidy(value: number): number {
    return Number(value.toFixed(6));
  }
}
