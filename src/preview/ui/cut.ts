import type { PreviewView } from "../../../shared/preview.ts";
import { Choice } from "./choice.ts";
import { element, icon, icons } from "./element.ts";
import type { Words } from "./words.ts";

/** A plane through the picture; what lies on one side of it is taken away. */
export type Cut = NonNullable<NonNullable<PreviewView["cut"]>>;
type Axis = Cut["axis"];
type Way = "off" | "across" | "along" | "level";

const axes: Record<Exclude<Way, "off">, Axis> = { across: "y", along: "x", level: "z" };
const ways: readonly Way[] = ["off", "across", "along", "level"];
const step = 0.02;

/** mm along the axis at share 0 and 1. */
export interface CutRange {
  min: number;
  max: number;
}

/** Where the picture is cut open: which way, how far, and which half stays. */
export class CutControls {
  readonly body = element("div", { class: "body" });
  readonly #change: (cut: Cut | null) => void;
  readonly #range: (axis: Axis) => CutRange;
  readonly #words: Words;
  readonly #way: Choice<Way>;
  readonly #slider = element("input", { type: "range", min: 0, max: 1, step: 0.002 });
  readonly #mm = element("input", { type: "number", step: 0.5 });
  readonly #name = element("span", { class: "axis", "aria-hidden": "true" });
  readonly #side: HTMLButtonElement;
  readonly #place: HTMLElement;
  #axis: Axis | null = null;
  #share = 0.5;
  #flip = false;

  /** `range` gives the extent of what is seen; it is asked anew each time. */
  constructor(words: Words, range: (axis: Axis) => CutRange, change: (cut: Cut | null) => void) {
    this.#words = words;
    this.#range = range;
    this.#change = change;
    this.#way = new Choice<Way>(
      "cut-way",
      words.cut,
      [
        ["off", words.cutOff],
        ["across", words.cutAcross],
        ["along", words.cutAlong],
        ["level", words.cutLevel],
      ],
      (way) => this.#choose(way),
    );
    this.#slider.setAttribute("aria-label", words.cutAt);
    this.#slider.addEventListener("input", () => {
      this.#share = this.#slider.valueAsNumber;
      this.#tell();
    });
    this.#mm.setAttribute("aria-label", words.cutAtMm);
    this.#mm.addEventListener("input", () => {
      const mm = this.#mm.valueAsNumber;
      if (this.#axis === null || Number.isNaN(mm)) return;
      const { min, max } = this.#range(this.#axis);
      if (max > min) this.#share = clamp((mm - min) / (max - min));
      this.#slider.valueAsNumber = this.#share;
      this.#change(this.cut);
    });
    this.#mm.addEventListener("change", () => this.#describe());
    this.#side = element(
      "button",
      {
        type: "button",
        class: "icon-button",
        "aria-pressed": "false",
        title: words.cutSide,
        "aria-label": words.cutSide,
      },
      icon(icons.otherSide),
    );
    this.#side.addEventListener("click", () => this.turn());
    this.#place = element(
      "div",
      { class: "row place" },
      this.#slider,
      element("span", { class: "measure" }, this.#name, this.#mm, element("span", { class: "unit" }, "mm")),
      this.#side,
    );
    this.body.append(this.#way.root, this.#place);
    this.#describe();
  }

  get cut(): Cut | null {
    return this.#axis === null ? null : { axis: this.#axis, share: this.#share, flip: this.#flip };
  }

  /** What was kept from before. Tells nobody. */
  restore(cut: Cut | null | undefined): void {
    this.#axis = cut?.axis ?? null;
    this.#share = cut?.share ?? 0.5;
    this.#flip = cut?.flip ?? false;
    this.#describe();
  }

  /** What is seen has another extent: the millimetres are read anew. */
  refresh(): void {
    if (document.activeElement !== this.#mm) this.#describe();
  }

  next(): void {
    const now = ways.findIndex((way) => way !== "off" && axes[way] === this.#axis);
    this.#choose(ways[(Math.max(0, now) + 1) % ways.length]);
  }

  nudge(way: 1 | -1): void {
    if (this.#axis === null) return;
    this.#share = clamp(this.#share + way * step);
    this.#tell();
  }

  turn(): void {
    if (this.#axis === null) return;
    this.#flip = !this.#flip;
    this.#tell();
  }

  #choose(way: Way): void {
    this.#axis = way === "off" ? null : axes[way];
    this.#tell();
  }

  #tell(): void {
    this.#describe();
    this.#change(this.cut);
  }

  #describe(): void {
    const axis = this.#axis;
    this.#way.value = ways.find((way) => way !== "off" && axes[way] === axis) ?? "off";
    this.#place.classList.toggle("idle", axis === null);
    for (const control of [this.#slider, this.#mm, this.#side]) control.disabled = axis === null;
    this.#slider.valueAsNumber = this.#share;
    this.#side.setAttribute("aria-pressed", String(this.#flip));
    if (axis === null) {
      this.#name.textContent = "";
      this.#mm.value = "";
      return;
    }
    const { min, max } = this.#range(axis);
    // Without a sign before nought.
    const mm = (Math.round(10 * (min + this.#share * (max - min))) / 10 || 0).toFixed(1);
    this.#mm.min = min.toFixed(1);
    this.#mm.max = max.toFixed(1);
    this.#mm.value = mm;
    const names = { x: this.#words.cutWidth, y: this.#words.cutDepth, z: this.#words.cutHeight };
    this.#name.textContent = names[axis];
    this.#slider.setAttribute("aria-valuetext", `${names[axis]} ${mm} mm`);
  }
}

const clamp = (share: number): number => Math.max(0, Math.min(1, share));
