import type { PreviewMold } from "../../../shared/preview.ts";
import { showLengths, type Units } from "../../../shared/units.ts";
import { element } from "./element.ts";
import type { Words } from "./words.ts";

/** Which mold is shown, and how large its pot is. */
export class Heading {
  readonly root: HTMLElement;
  readonly #words: Words;
  readonly #title = element("h1", {});
  readonly #which = element("select", { hidden: true });
  readonly #sizes = element("p", { class: "sizes" });
  #units: Units = "mm";
  #shown: PreviewMold | undefined;

  constructor(words: Words, choose: (mold: string) => void) {
    this.#words = words;
    this.#which.setAttribute("aria-label", words.whichMold);
    this.#which.addEventListener("change", () => choose(this.#which.value));
    this.root = element("header", {}, this.#title, this.#which, this.#sizes);
  }

  set units(units: Units) {
    this.#units = units;
    this.#measure();
  }

  show(molds: readonly PreviewMold[], shown: PreviewMold | undefined): void {
    this.#shown = shown;
    const several = molds.length > 1;
    this.#title.classList.toggle("hidden-word", several);
    this.#title.textContent = shown?.name ?? "";
    this.#which.hidden = !several;
    this.#which.replaceChildren(
      ...molds.map(({ name }) => element("option", { selected: name === shown?.name }, name)),
    );
    this.#measure();
  }

  #measure(): void {
    const mold = this.#shown;
    this.#sizes.replaceChildren();
    if (!mold) return;
    const { fired, wet } = this.#words;
    this.#sizes.append(
      element("span", {}, `${fired} ${showLengths(mold.fired, this.#units, 1)}`),
      element("span", {}, `${wet} ${showLengths(mold.wet, this.#units, 1)}`),
    );
  }
}
