import * as vscode from "vscode";
import { showLengths } from "../../../shared/units.ts";
import type { Design } from "../design/design.ts";
import type { Designs } from "../design/designs.ts";
import { rangeOf } from "../design/diagnostics.ts";
import type { Settings } from "../settings.ts";
import { firedLengths, moldsOf } from "./calls.ts";

/** Wet lengths behind the fired ones of outlines and sections, where they are plain numbers. */
export class WetHints implements vscode.InlayHintsProvider, vscode.Disposable {
  readonly #designs: Designs;
  readonly #settings: Settings;
  readonly #changed = new vscode.EventEmitter<void>();
  readonly onDidChangeInlayHints = this.#changed.event;
  readonly #subscriptions: vscode.Disposable[];

  constructor(designs: Designs, settings: Settings) {
    this.#designs = designs;
    this.#settings = settings;
    this.#subscriptions = [
      this.#changed,
      settings.onDidChange(() => this.#changed.fire()),
      designs.onDidChangeState(() => this.#changed.fire()),
    ];
  }

  provideInlayHints(document: vscode.TextDocument, shown: vscode.Range): vscode.InlayHint[] {
    if (!this.#settings.inlayHints) return [];
    const hints = new Map<number, vscode.InlayHint>();
    for (const design of this.#designs.all) {
      if (!design.current) continue;
      for (const hint of this.#hintsOf(design, document, shown)) {
        const at = document.offsetAt(hint.position);
        if (!hints.has(at)) hints.set(at, hint);
      }
    }
    return [...hints.values()];
  }

  #hintsOf(design: Design, document: vscode.TextDocument, shown: vscode.Range): vscode.InlayHint[] {
    const file = design.toEngine(document.uri);
    return design.state.calls.flatMap((call) => {
      const [place] = call.chain;
      if (place?.file !== file || !rangeOf(place).intersection(shown)) return [];
      const scales = moldsOf(call, design.state.molds ?? []).map(({ fired, wet }) => wet[2] / fired[2]);
      const [scale] = scales;
      // An outline that goes into molds of several clays has no one wet size.
      if (!(scale > 1) || scales.some((one) => Math.abs(one - scale) > 1e-6)) return [];
      const range = rangeOf(place);
      const start = document.offsetAt(range.start);
      return firedLengths(call.name, document.getText(range)).map(({ mm, end }) => {
        const wet = showLengths([mm * scale], this.#settings.units, 0.1);
        const hint = new vscode.InlayHint(document.positionAt(start + end), vscode.l10n.t("→ {0} wet", wet));
        hint.paddingLeft = true;
        hint.tooltip = vscode.l10n.t("Length before drying and firing.");
        return hint;
      });
    });
  }

  dispose(): void {
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}
