import type { FindingLine, Spot } from "../../../shared/preview.ts";
import { badge } from "./badge.ts";
import { element, icon, icons } from "./element.ts";
import { fill, type Words } from "./words.ts";

export interface FindingEvents {
  open(spot: Spot): void;
  why(code: string): void;
  /** The finding under the pointer or with the focus, by its place in the list. */
  active(index: number | null): void;
}

/**
 * What the checks found, as a list numbered like the marks in the picture. A click goes to the line
 * of code.
 */
export class FindingList {
  readonly body = element("div", { class: "body" });
  readonly #words: Words;
  readonly #events: FindingEvents;
  #rows: HTMLElement[] = [];
  #shown = "";

  constructor(words: Words, events: FindingEvents) {
    this.#words = words;
    this.#events = events;
  }

  /**
   * Without findings it says that all is well, or, where the design has not been checked, that.
   * `several`: there is more than one mold, so each finding names its own.
   */
  show(findings: FindingLine[], checked: boolean, several: boolean): void {
    const shown = JSON.stringify([findings, checked, several]);
    if (shown === this.#shown) return;
    this.#shown = shown;
    const focus = this.#focused();
    const words = this.#words;
    if (findings.length === 0) {
      this.#rows = [];
      const all = checked ? [icon(icons.fine), words.nothingToReport] : [words.notChecked];
      this.body.replaceChildren(element("p", { class: "fine" }, ...all));
      return;
    }
    this.#rows = findings.map((finding, i) => this.#row(finding, i, several));
    this.body.replaceChildren(element("ul", { class: "finding-list" }, ...this.#rows));
    if (focus) this.#button(focus.index, focus.why)?.focus({ preventScroll: true });
  }

  /** A mark in the picture was chosen: its row comes into sight and takes the focus. */
  focus(index: number): void {
    this.reveal(index);
    this.#button(index, false)?.focus();
  }

  reveal(index: number): void {
    this.#rows[index]?.scrollIntoView({ block: "nearest" });
  }

  /** The row of the active mark stands out. */
  set active(index: number | null) {
    this.#rows.forEach((row, i) => row.classList.toggle("active", i === index));
  }

  #row(finding: FindingLine, index: number, several: boolean): HTMLElement {
    const words = this.#words;
    const go = element(
      "button",
      { type: "button", class: `go ${finding.severity}` },
      badge(finding.severity, index + 1),
      element("span", { class: "hidden-word" }, `${words[finding.severity]} ${index + 1}: `),
      element("span", { class: "message" }, finding.message),
      element(
        "span",
        { class: "where" },
        several && finding.mold !== undefined ? `${fill(words.onMold, finding.mold)} · ` : "",
        finding.spot.label,
      ),
    );
    go.addEventListener("click", () => this.#events.open(finding.spot));
    const why = element(
      "button",
      { type: "button", class: "why link", "aria-label": fill(words.whyCode, finding.code) },
      words.why,
    );
    why.addEventListener("click", () => this.#events.why(finding.code));
    const row = element("li", {}, go, why);
    row.addEventListener("pointerenter", () => this.#events.active(index));
    row.addEventListener("pointerleave", () => this.#events.active(this.#focused()?.index ?? null));
    row.addEventListener("focusin", () => this.#events.active(index));
    row.addEventListener("focusout", () => this.#events.active(null));
    return row;
  }

  #button(index: number, why: boolean): HTMLButtonElement | null | undefined {
    return this.#rows[index]?.querySelector<HTMLButtonElement>(why ? ".why" : ".go");
  }

  #focused(): { index: number; why: boolean } | undefined {
    const at = document.activeElement;
    const index = this.#rows.findIndex((row) => row.contains(at));
    return index < 0 ? undefined : { index, why: at?.classList.contains("why") ?? false };
  }
}
