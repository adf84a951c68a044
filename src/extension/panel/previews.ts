import * as vscode from "vscode";
import { previewState } from "../../../shared/preview.ts";
import type { Designs } from "../design/designs.ts";
import { isDesign } from "../design/identity.ts";
import type { Settings } from "../settings.ts";
import { Preview } from "./preview.ts";

const previewType = "slabwright.preview";

/** All open previews, one for each design, and their return after a restart. */
export class Previews implements vscode.Disposable {
  readonly #extension: vscode.Uri;
  readonly #designs: Designs;
  readonly #settings: Settings;
  readonly #log: vscode.LogOutputChannel;
  readonly #open = new Map<string, Preview>();
  readonly #renamed = vscode.workspace.onDidRenameFiles(({ files }) => {
    for (const { oldUri, newUri } of files) this.#moved(oldUri, newUri);
  });

  constructor(extension: vscode.Uri, designs: Designs, settings: Settings, log: vscode.LogOutputChannel) {
    this.#extension = extension;
    this.#designs = designs;
    this.#settings = settings;
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
    return this.focused?.uri;
  }

  /** The preview that has the focus. */
  get focused(): Preview | undefined {
    return [...this.#open.values()].find((preview) => preview.panel.active);
  }

  /** A file, or a folder with designs in it, was renamed or moved: previews go along. */
  #moved(from: vscode.Uri, to: vscode.Uri): void {
    for (const preview of [...this.#open.values()]) {
      const { uri } = preview;
      const below = uri.path.startsWith(`${from.path}/`) ? uri.path.slice(from.path.length) : undefined;
      if (uri.toString() !== from.toString() && below === undefined) continue;
      const now = to.with({ path: to.path + (below ?? "") });
      if (!isDesign(now) || this.#open.has(now.toString())) {
        preview.panel.dispose();
        continue;
      }
      this.#open.delete(uri.toString());
      this.#open.set(now.toString(), preview);
      preview.moveTo(now);
    }
  }

  /** Fills a panel that the editor has brought back, from the little that its page kept. */
  restore(panel: vscode.WebviewPanel, kept: unknown): void {
    const state = previewState.safeParse(kept);
    const uri = state.success ? vscode.Uri.parse(state.data.uri) : undefined;
    if (uri === undefined || this.#open.has(uri.toString())) panel.dispose();
    else this.#adopt(panel, uri);
  }

  #adopt(panel: vscode.WebviewPanel, uri: vscode.Uri): Preview {
    const preview = new Preview(panel, uri, this.#extension, this.#designs, this.#settings, this.#log);
    this.#open.set(uri.toString(), preview);
    preview.onDidClose(() => this.#open.delete(preview.uri.toString()));
    return preview;
  }

  dispose(): void {
    this.#renamed.dispose();
    for (const preview of [...this.#open.values()]) preview.dispose();
  }
}
