import * as vscode from "vscode";
import { previewState } from "../../../shared/preview.ts";
import type { Designs } from "../design/designs.ts";
import { Preview } from "./preview.ts";

const previewType = "slabwright.preview";

/** All open previews, one for each design, and their return after a restart. */
export class Previews implements vscode.Disposable {
  readonly #extension: vscode.Uri;
  readonly #designs: Designs;
  readonly #log: vscode.LogOutputChannel;
  readonly #open = new Map<string, Preview>();

  constructor(extension: vscode.Uri, designs: Designs, log: vscode.LogOutputChannel) {
    this.#extension = extension;
    this.#designs = designs;
    this.#log = log;
  }

  /** The preview of this design, opened beside the code when there is none. The code keeps the focus. */
  show(uri: vscode.Uri): Preview {
    const known = this.#open.get(uri.toString());
    if (known) {
      known.panel.reveal(undefined, true);
      return known;
    }
    const panel = vscode.window.createWebviewPanel(
      previewType,
      "",
      { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
      { retainContextWhenHidden: true },
    );
    return this.#adopt(panel, uri);
  }

  /** The design of the preview that has the focus. */
  get active(): vscode.Uri | undefined {
    for (const preview of this.#open.values()) if (preview.panel.active) return preview.uri;
    return undefined;
  }

  /** Fills a panel that the editor has brought back, from the little that its page kept. */
  restore(panel: vscode.WebviewPanel, kept: unknown): void {
    const state = previewState.safeParse(kept);
    const uri = state.success ? vscode.Uri.parse(state.data.uri) : undefined;
    if (uri === undefined || this.#open.has(uri.toString())) panel.dispose();
    else this.#adopt(panel, uri);
  }

  #adopt(panel: vscode.WebviewPanel, uri: vscode.Uri): Preview {
    const preview = new Preview(panel, uri, this.#extension, this.#designs, this.#log);
    this.#open.set(uri.toString(), preview);
    preview.onDidClose(() => this.#open.delete(uri.toString()));
    return preview;
  }

  dispose(): void {
    for (const preview of [...this.#open.values()]) preview.dispose();
  }
}
