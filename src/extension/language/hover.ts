import * as vscode from "vscode";
import type { MoldView } from "../../../shared/engine.ts";
import type { Units } from "../../../shared/units.ts";
import type { Designs } from "../design/designs.ts";
import type { Settings } from "../settings.ts";
import { callAt, moldsOf, solidCalls } from "./calls.ts";
import { degrees, firedAndWet, grams } from "./words.ts";

/** What was computed of a mold, over the name of a call that makes it or its body. Units and defaults come from the kit's types. */
export class ComputedHover implements vscode.HoverProvider {
  readonly #designs: Designs;
  readonly #settings: Settings;

  constructor(designs: Designs, settings: Settings) {
    this.#designs = designs;
    this.#settings = settings;
  }

  provideHover(document: vscode.TextDocument, position: vscode.Position): vscode.Hover | undefined {
    const range = document.getWordRangeAtPosition(position);
    if (!range || !solidCalls.has(document.getText(range))) return undefined;
    const lines: string[] = [];
    for (const design of this.#designs.all) {
      const file = design.current ? design.toEngine(document.uri) : undefined;
      if (file === undefined) continue;
      const at = { line: range.end.line + 1, column: range.end.character + 1 };
      const call = callAt(design.state.calls, file, at);
      if (!call || call.name.split(".").pop() !== document.getText(range)) continue;
      const molds = moldsOf(call, design.state.molds ?? []);
      for (const mold of molds) lines.push(...moldLines(mold, this.#settings.units, molds.length > 1));
    }
    if (lines.length === 0) return undefined;
    const text = new vscode.MarkdownString();
    // A maker's own names stand in it: nothing of them may become markup.
    lines.forEach((line, i) => text.appendText(i === 0 ? line : `\n${line}`));
    return new vscode.Hover(text, range);
  }
}

/** Two or three short lines about a mold; its name only where several are told of. */
export function moldLines(mold: MoldView, units: Units, named: boolean): string[] {
  const { numbers } = mold;
  const sizes = firedAndWet(mold, units);
  const head = named ? `${mold.name}: ${sizes}` : sizes;
  if (!numbers) return [head];
  const { leastDraftDeg, wet, fired } = numbers;
  const area = vscode.l10n.t("slab {0} cm²", Math.round(wet.slabAreaMm2 / 100));
  const clay = fired
    ? vscode.l10n.t("clay {0} wet, {1} fired", grams(wet.massG), grams(fired.massG))
    : vscode.l10n.t("clay {0} wet", grams(wet.massG));
  const holds =
    fired && fired.capacityMl !== null
      ? [vscode.l10n.t("holds {0} mL to the brim", Math.round(fired.capacityMl))]
      : [];
  const draft = leastDraftDeg === null ? [] : [vscode.l10n.t("least draft {0}", degrees(leastDraftDeg))];
  return [head, [...draft, area].join(" · "), [clay, ...holds].join(" · ")];
}
