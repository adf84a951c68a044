import * as vscode from "vscode";

/**
 * Shows a folder: in the system's file manager on a local desktop; elsewhere in the Explorer when it
 * is in the workspace, and otherwise its path goes to the clipboard.
 */
export async function showFolder(folder: vscode.Uri): Promise<void> {
  if (vscode.env.uiKind === vscode.UIKind.Desktop && vscode.env.remoteName === undefined) {
    await vscode.commands.executeCommand("revealFileInOS", folder);
  } else if (vscode.workspace.getWorkspaceFolder(folder)) {
    await vscode.commands.executeCommand("revealInExplorer", folder);
  } else {
    await vscode.env.clipboard.writeText(folder.fsPath);
    void vscode.window.showInformationMessage(
      vscode.l10n.t("The folder is on the remote machine; its path is on the clipboard."),
    );
  }
}
