import * as vscode from "vscode";
import type { Design } from "../design/design.ts";
import type { Settings } from "../settings.ts";

/**
 * Saves the design and those of its imports that are not, so that what is worked on is what the
 * command line would read. Gives false when the maker or the disk says no.
 */
export async function saveDesign(design: Design, settings: Settings): Promise<boolean> {
  const paths = await design.paths();
  const { files } = await design.upToDate();
  const unsaved = vscode.workspace.textDocuments.filter((document) => {
    if (!document.isDirty) return false;
    if (document.uri.toString() === design.uri.toString()) return true;
    const file = paths.toEngine(document.uri);
    return file !== undefined && files.has(file);
  });
  if (unsaved.length === 0) return true;
  if (settings.saveFirst === "ask") {
    const save = vscode.l10n.t("Save");
    const names = unsaved.map((document) => vscode.workspace.asRelativePath(document.uri)).join(", ");
    const chosen = await vscode.window.showWarningMessage(
      vscode.l10n.t("Save first? Not saved: {0}", names),
      { modal: true },
      save,
    );
    if (chosen !== save) return false;
  }
  for (const document of unsaved) {
    if (await document.save()) continue;
    void vscode.window.showErrorMessage(
      vscode.l10n.t(
        "{0} could not be saved; nothing was done.",
        vscode.workspace.asRelativePath(document.uri),
      ),
    );
    return false;
  }
  return true;
}
