import * as vscode from "vscode";
import { isDesign } from "../design/identity.ts";
import type { Designs } from "../design/designs.ts";
import type { Settings } from "../settings.ts";
import { findingCount } from "./words.ts";

/** Over the export of a design: its preview, its export, and what was found. */
export class DesignLenses implements vscode.CodeLensProvider, vscode.Disposable {
  readonly #designs: Designs;
  readonly #settings: Settings;
  readonly #changed = new vscode.EventEmitter<void>();
  readonly onDidChangeCodeLenses = this.#changed.event;
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

  provideCodeLenses(document: vscode.TextDocument): vscode.CodeLens[] {
    if (!this.#settings.codeLens || !isDesign(document.uri)) return [];
    // In a text that does not run the line is still there.
    const found = /^export\s+(?:default\b|\{[^}]*\bas\s+default\b)/m.exec(document.getText());
    if (!found) return [];
    const range = new vscode.Range(
      document.positionAt(found.index),
      document.positionAt(found.index + found[0].length),
    );
    const argument = { uri: document.uri };
    const lens = (title: string, command: string, args: unknown[] = [argument]) =>
      new vscode.CodeLens(range, { title, command, arguments: args });
    return [
      lens(vscode.l10n.t("Preview"), "slabwright.showPreview"),
      lens(vscode.l10n.t("Export"), "slabwright.exportMold"),
      lens(this.#verdict(document.uri), "slabwright.describeMold"),
    ];
  }

  #verdict(uri: vscode.Uri): string {
    const design = this.#designs.get(uri);
    if (!design || design.state.build === 0) return vscode.l10n.t("not run yet");
    if (design.state.problem) return vscode.l10n.t("does not run");
    if (!design.current) return vscode.l10n.t("checking");
    return findingCount(design.state.findings) ?? vscode.l10n.t("nothing found");
  }

  dispose(): void {
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}
