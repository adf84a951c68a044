import * as vscode from "vscode";
import { helpPage } from "../../shared/help.ts";

/**
 * Where the code of a diagnostic leads: a command link, which works in a window on this machine
 * and in one that a browser shows alike. Undefined for a code without a page.
 */
export function helpTarget(code: string): vscode.Uri | undefined {
  if (helpPage(code) === undefined) return undefined;
  const query = encodeURIComponent(JSON.stringify([code]));
  return vscode.Uri.parse(`command:slabwright.openHelp?${query}`);
}

/** Shows the page about a code, rendered; as text where this editor has no Markdown preview. */
export async function openFindingHelp(extension: vscode.Uri, code: string): Promise<void> {
  const page = helpPage(code);
  if (page === undefined) {
    void vscode.window.showInformationMessage(vscode.l10n.t("There is no page about “{0}”.", code));
    return;
  }
  const uri = vscode.Uri.joinPath(extension, "docs", "findings", `${page}.md`);
  const known = await vscode.commands.getCommands(true);
  if (known.includes("markdown.showPreview")) {
    await vscode.commands.executeCommand("markdown.showPreview", uri);
  } else await vscode.window.showTextDocument(uri, { preview: true });
}
