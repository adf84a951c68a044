import { element } from "./element.ts";

/** A row of options of which one holds. A group of radio buttons, so that arrow keys move in it. */
export class Choice<T extends string> {
  readonly root: HTMLElement;
  readonly #inputs: HTMLInputElement[];

  /** `name` is unique in the page. */
  constructor(
    name: string,
    label: string,
    options: readonly (readonly [T, string])[],
    choose: (value: T) => void,
  ) {
    this.#inputs = options.map(([value]) => {
      const input = element("input", { type: "radio", name, value });
      input.addEventListener("change", () => choose(value));
      return input;
    });
    this.root = element(
      "div",
      { class: "choice", role: "radiogroup", "aria-label": label },
      ...options.map(([, text], i) => element("label", {}, this.#inputs[i], element("span", {}, text))),
    );
  }

  set value(value: T) {
    for (const input of this.#inputs) input.checked = input.value === value;
  }
}
