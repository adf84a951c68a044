import type { PreviewMold } from "../../../shared/preview.ts";
import { element } from "./element.ts";
import type { Words } from "./words.ts";

/** Which mold is shown, and how large its pot is. */
export class Heading {
  readonly root: HTMLElement;
  readonly #words: Words;
  readonly #title = element("h1", {});
  readonly #which = element("select", { hidden: true });
  readonly #sizes = element("p", { class: "sizes" });

  constructor(words: Words, choose: (mold: string) => void) {
    this.#words = words;
    this.#which.setAttribute("aria-label", words.whichMold);
    this.#which.addEventListener("change", () => choose(this.#which.value));
    this.root = element("header", {}, this.#title, this.#which, this.#sizes);
  }

  show(molds: readonly PreviewMold[], shown: PreviewMold | undefined): void {
    const several = molds.length > 1;
    this.#title.classList.toggle("hidden-word", several);
    this.#title.textContent = shown?.name ?? "";
    this.#which.hidden = !several;
    this.#which.replaceChildren(
      ...molds.map(({ name }) => element("option", { selected: name === shown?.name }, name)),
    );
    const size = (mm: readonly number[]) => mm.map((length) => String(Math.round(length))).join(" × ");
    const words = this.#words;
    this.#sizes.replaceChildren();
    if (!shown) return;
    this.#sizes.append(
      element("span", {}, `${words.fired} ${size(shown.fired)} mm`),
      element("span", {}, `${words.wet} ${size(shown.wet)} mm`),
    );
  }
}
