import * as vscode from "vscode";
import { helpPage } from "../../shared/help.ts";

const pageOf = (extension: vscode.Uri, page: string) =>
  vscode.Uri.joinPath(extension, "docs", "findings", `${page}.md`);

/**
 * Where the code of a diagnostic leads: the file of its page, which an association of the manifest
 * opens rendered. The editor follows no command from there, and a file works in a window on this
 * machine and in one that a browser shows alike. Undefined for a code without a page.
 */
export function helpTarget(code: string): vscode.Uri | undefined {
  const page = helpPage(code);
  const extension = vscode.extensions.getExtension("slabwright.slabwright")?.extensionUri;
  return page && extension && pageOf(extension, page);
}

/** Shows the page about a code, rendered; as text where this editor has no Markdown preview. */
export async function openFindingHelp(extension: vscode.Uri, code: string): Promise<void> {
  const page = helpPage(code);
  if (page === undefined) {
    void vscode.window.showInformationMessage(vscode.l10n.t("There is no page about “{0}”.", code));
    return;
  }
  const uri = pageOf(extension, page);
  const known = await vscode.commands.getCommands(true);
  if (known.includes("markdown.showPreview")) {
    await vscode.commands.executeCommand("markdown.showPreview", uri);
  } else await vscode.window.showTextDocument(uri, { preview: true });
}
