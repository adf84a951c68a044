import * as vscode from "vscode";
import { isCuredBySetUp } from "./folder.ts";

/** Offers to set up the folder where TypeScript does not find the kit or `@jscad/modeling`. */
export class SetUpFix implements vscode.CodeActionProvider {
  static readonly kinds = [vscode.CodeActionKind.QuickFix];

  provideCodeActions(
    { uri }: vscode.TextDocument,
    _range: vscode.Range,
    { diagnostics }: vscode.CodeActionContext,
  ): vscode.CodeAction[] {
    const cured = diagnostics.filter(({ source, code, message }) => {
      return source?.startsWith("ts") === true && isCuredBySetUp(numberOf(code), message);
    });
    if (cured.length === 0) return [];
    const title = vscode.l10n.t("Set up this folder for Slabwright designs");
    const action = new vscode.CodeAction(title, vscode.CodeActionKind.QuickFix);
    action.diagnostics = cured;
    action.command = { command: "slabwright.setUpFolder", title, arguments: [{ uri }] };
    return [action];
  }
}

function numberOf(code: vscode.Diagnostic["code"]): number {
  return Number(typeof code === "object" ? code.value : code);
}
