import * as vscode from "vscode";

const scheme = "slabwright-description";

/** Read-only texts about designs, one for each. */
export class Descriptions implements vscode.TextDocumentContentProvider, vscode.Disposable {
  readonly #texts = new Map<string, string>();
  readonly #changed = new vscode.EventEmitter<vscode.Uri>();
  readonly onDidChange = this.#changed.event;
  readonly #subscriptions = [
    this.#changed,
    vscode.workspace.registerTextDocumentContentProvider(scheme, this),
    vscode.workspace.onDidCloseTextDocument(({ uri }) => this.#texts.delete(uri.toString())),
  ];

  provideTextDocumentContent(uri: vscode.Uri): string {
    return this.#texts.get(uri.toString()) ?? "";
  }

  /** Shows the text about a design, in place of the one before. */
  async show(design: vscode.Uri, name: string, text: string): Promise<vscode.TextDocument> {
    const uri = vscode.Uri.from({ scheme, path: `/${name}.txt`, query: design.toString() });
    this.#texts.set(uri.toString(), text);
    this.#changed.fire(uri);
    const document = await vscode.workspace.openTextDocument(uri);
    await vscode.window.showTextDocument(document, { preview: true });
    return document;
  }

  dispose(): void {
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}
