import * as vscode from "vscode";
import { EngineStopped } from "../../dsl/engine/host.ts";
import type { Design } from "../design/design.ts";
import type { Designs } from "../design/designs.ts";
import { openTexts } from "../design/texts.ts";
import type { Engine } from "../engine.ts";

/**
 * Makes one fix after another, each on the design as the one before left it, until none is left or
 * ten are made. One edit in the end: one undo. Also on saving, where the maker has set that.
 */
export class FixAll implements vscode.CodeActionProvider {
  static readonly kind = vscode.CodeActionKind.SourceFixAll.append("slabwright");
  static readonly kinds = [FixAll.kind];
  readonly #designs: Designs;
  readonly #engine: Engine;

  constructor(designs: Designs, engine: Engine) {
    this.#designs = designs;
    this.#engine = engine;
  }

  async provideCodeActions(
    document: vscode.TextDocument,
    _range: vscode.Range,
    { only }: vscode.CodeActionContext,
    token: vscode.CancellationToken,
  ): Promise<vscode.CodeAction[]> {
    // Only when it is asked for: it takes the engine some time.
    if (!only?.contains(FixAll.kind) && !(only && FixAll.kind.contains(only))) return [];
    const design = this.#designs.get(document.uri);
    if (!design) return [];
    const edit = await this.#cured(design, token);
    if (!edit || edit.size === 0) return [];
    const action = new vscode.CodeAction(vscode.l10n.t("Fix all findings of this mold"), FixAll.kind);
    action.edit = edit;
    return [action];
  }

  /** Undefined where the text has changed meanwhile. */
  async #cured(design: Design, token: vscode.CancellationToken): Promise<vscode.WorkspaceEdit | undefined> {
    const paths = await design.paths();
    const { entry, root } = paths;
    const overlays = openTexts(paths);
    let texts: Record<string, string>;
    try {
      ({ texts } = await this.#engine.host.cure({ entry, root, overlays }));
    } catch (error) {
      if (!(error instanceof EngineStopped)) this.#engine.fault(error);
      return undefined;
    }
    if (token.isCancellationRequested) return undefined;
    const edit = new vscode.WorkspaceEdit();
    for (const [file, text] of Object.entries(texts)) {
      const document = await vscode.workspace.openTextDocument(design.toEditor(file));
      const old = document.getText();
      if (overlays[file] !== undefined && overlays[file] !== old) return undefined;
      const { start, end, added } = difference(old, text);
      edit.replace(
        document.uri,
        new vscode.Range(document.positionAt(start), document.positionAt(end)),
        added,
      );
    }
    return edit;
  }
}

/** The one stretch in which two texts differ. */
export function difference(old: string, text: string): { start: number; end: number; added: string } {
  let start = 0;
  while (start < old.length && start < text.length && old[start] === text[start]) start++;
  let tail = 0;
  const most = Math.min(old.length, text.length) - start;
  while (tail < most && old[old.length - 1 - tail] === text[text.length - 1 - tail]) tail++;
  return { start, end: old.length - tail, added: text.slice(start, text.length - tail) };
}
