import * as vscode from "vscode";
import type { Previews } from "../panel/previews.ts";

/**
 * One step back, or forth again, in the design of the preview that has the focus; the focus comes
 * back to it. The editor's own command works on the editor in focus and nowhere else.
 */
export async function changeBack(previews: Previews, command: "undo" | "redo"): Promise<void> {
  const preview = previews.focused;
  if (!preview) return;
  const uri = preview.undoes;
  const shown = vscode.window.visibleTextEditors.find(
    (editor) => editor.document.uri.toString() === uri.toString(),
  );
  await vscode.window.showTextDocument(uri, { viewColumn: shown?.viewColumn ?? vscode.ViewColumn.One });
  await vscode.commands.executeCommand(command);
  preview.panel.reveal(undefined, false);
}
