import type { ParamLine } from "../../../shared/preview.ts";
import { element } from "./element.ts";
import { ParamRow, type ParamEvents } from "./param.ts";
import type { Words } from "./words.ts";

/** The numbers of the design that have a slider. */
export class ParamControls {
  readonly body = element("div", { class: "body" });
  readonly #words: Words;
  readonly #events: ParamEvents;
  readonly #held = element("p", { class: "held", hidden: true });
  readonly #list = element("ul", { class: "params" });
  #rows = new Map<string, ParamRow>();

  constructor(words: Words, events: ParamEvents) {
    this.#words = words;
    this.#events = events;
    this.body.append(this.#held, this.#list);
  }

  /** Rows stay as long as their names do, so that nothing slips out of the hand. */
  show(params: ParamLine[], held: string | undefined): void {
    this.#held.hidden = held === undefined || params.length === 0;
    this.#held.textContent = held ?? "";
    const rows = new Map<string, ParamRow>();
    for (const param of params) {
      const row = this.#rows.get(param.name) ?? new ParamRow(this.#words, param, this.#events);
      row.update(param, held);
      rows.set(param.name, row);
    }
    this.#rows = rows;
    const wanted = [...rows.values()].map((row) => row.root);
    const same =
      wanted.length === this.#list.children.length &&
      wanted.every((row, i) => row === this.#list.children[i]);
    if (!same) this.#list.replaceChildren(...wanted);
  }
}
