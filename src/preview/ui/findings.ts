import type { FindingLine, PreviewWord, Spot } from "../../../shared/preview.ts";
import { element, icon, icons } from "./element.ts";

/** What the checks found, as a list; a click goes to the line of code. */
export class FindingList {
  readonly root = element("section", { class: "findings", "aria-labelledby": "findings-title" });
  readonly #words: Record<PreviewWord, string>;
  readonly #open: (spot: Spot) => void;

  constructor(words: Record<PreviewWord, string>, open: (spot: Spot) => void) {
    this.#words = words;
    this.#open = open;
  }

  /** Without findings it says that all is well, or, where the design has not been checked, that. */
  show(findings: FindingLine[], checked: boolean): void {
    const words = this.#words;
    const title = element("h2", { id: "findings-title" }, words.findings);
    if (findings.length === 0) {
      const all = checked ? [icon(icons.fine), words.nothingToReport] : [words.notChecked];
      this.root.replaceChildren(title, element("p", { class: "fine" }, ...all));
      return;
    }
    title.append(element("span", { class: "count" }, String(findings.length)));
    const list = element("ul", {});
    for (const finding of findings) {
      const button = element(
        "button",
        { type: "button", class: finding.severity },
        icon(icons[finding.severity]),
        element("span", { class: "hidden-word" }, `${words[finding.severity]}: `),
        element("span", { class: "message" }, finding.message),
        element("span", { class: "where" }, finding.spot.label),
      );
      button.addEventListener("click", () => this.#open(finding.spot));
      list.append(element("li", {}, button));
    }
    this.root.replaceChildren(title, list);
  }
}
