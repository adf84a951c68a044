import * as vscode from "vscode";
import { unitChoices, type Units } from "../../shared/units.ts";
import { exportFormats, type ExportFormat } from "../../shared/engine.ts";

export type EvaluateWhen = "onType" | "onSave" | "onCommand";

/** The maker's settings. Nothing else reads the configuration. */
export class Settings implements vscode.Disposable {
  readonly #changed = new vscode.EventEmitter<void>();
  readonly #subscription = vscode.workspace.onDidChangeConfiguration((event) => {
    if (event.affectsConfiguration("slabwright")) this.#changed.fire();
  });
  readonly onDidChange = this.#changed.event;

  get evaluate(): EvaluateWhen {
    return this.#read<EvaluateWhen>("evaluate", "onType");
  }

  /** Seconds, held to the range that the manifest states. */
  get timeLimit(): number {
    return Math.min(120, Math.max(1, this.#read("timeLimit", 10)));
  }

  /** MB. */
  get memoryLimit(): number {
    return Math.max(256, this.#read("memoryLimit", 2048));
  }

  exportFolder(design: vscode.Uri): string {
    return this.#read("export.folder", "out", design);
  }

  exportFormats(design: vscode.Uri): ExportFormat[] {
    const wanted: string[] = this.#read("export.formats", ["stl", "3mf"], design);
    return exportFormats.filter((format) => wanted.includes(format));
  }

  get saveFirst(): "ask" | "always" {
    return this.#read<"ask" | "always">("export.saveFirst", "always");
  }

  get codeLens(): boolean {
    return this.#read("codeLens", true);
  }

  get inlayHints(): boolean {
    return this.#read("inlayHints", false);
  }

  get units(): Units {
    const units = this.#read<Units>("preview.units", "mm");
    return unitChoices.includes(units) ? units : "mm";
  }

  /** Every setting as it is, by its name after `slabwright.`, for a report. */
  get all(): Record<string, unknown> {
    const keys = [
      "evaluate",
      "timeLimit",
      "memoryLimit",
      "export.folder",
      "export.formats",
      "export.saveFirst",
      "codeLens",
      "inlayHints",
      "preview.units",
    ];
    return Object.fromEntries(keys.map((key) => [key, this.#read<unknown>(key, undefined)]));
  }

  #read<T>(key: string, otherwise: T, scope?: vscode.Uri): T {
    return vscode.workspace.getConfiguration("slabwright", scope).get<T>(key, otherwise);
  }

  dispose(): void {
    this.#subscription.dispose();
    this.#changed.dispose();
  }
}
