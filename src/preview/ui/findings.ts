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

  show(findings: FindingLine[]): void {
    const words = this.#words;
    const title = element("h2", { id: "findings-title" }, words.findings);
    if (findings.length === 0) {
      this.root.replaceChildren(
        title,
        element("p", { class: "fine" }, icon(icons.fine), words.nothingToReport),
      );
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
