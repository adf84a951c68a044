import * as vscode from "vscode";
import type { LocatedFinding, LocatedFix } from "../../../shared/finding.ts";
import type { Design } from "./design.ts";
import type { Designs } from "./designs.ts";
import { codeOf, rangeOf } from "./diagnostics.ts";

interface Offer extends vscode.CodeAction {
  design: Design;
  finding: LocatedFinding;
  fix: LocatedFix;
}

/**
 * Quick fixes of the findings, plain edits. They were worked out on the text that was evaluated:
 * they are offered while that is the text in the editor, and worked out anew at the click when it
 * no longer is.
 */
export class Fixes implements vscode.CodeActionProvider<vscode.CodeAction> {
  static readonly kinds = [vscode.CodeActionKind.QuickFix];
  readonly #designs: Designs;

  constructor(designs: Designs) {
    this.#designs = designs;
  }

  async provideCodeActions(
    document: vscode.TextDocument,
    range: vscode.Range,
    context: vscode.CodeActionContext,
  ): Promise<vscode.CodeAction[]> {
    const offers: vscode.CodeAction[] = [];
    for (const design of this.#designs.all) {
      if (!design.current) continue;
      for (const finding of design.state.findings) {
        const here = design.toEditor(finding.place.file).toString() === document.uri.toString();
        if (!here || !rangeOf(finding.place).intersection(range)) continue;
        for (const fix of finding.fixes) {
          if (fix.edits.length === 0) continue;
          offers.push(await offer(design, finding, fix, context));
        }
      }
    }
    return offers;
  }

  async resolveCodeAction(action: vscode.CodeAction): Promise<vscode.CodeAction> {
    const { design, finding, fix } = action as Offer;
    if (design.alive && design.current && design.state.findings.some((one) => one.fixes.includes(fix)))
      return action;
    action.edit = undefined;
    const state = design.alive ? await design.upToDate() : undefined;
    const same = state?.findings.find((one) => one.code === finding.code && one.part === finding.part);
    const again = same?.fixes.find(({ title, edits }) => title === fix.title && edits.length > 0);
    if (again) action.edit = await workspaceEdit(design, again);
    else {
      void vscode.window.showInformationMessage(
        vscode.l10n.t("The text has changed, and this fix no longer applies. Nothing was changed."),
      );
    }
    return action;
  }
}

async function offer(
  design: Design,
  finding: LocatedFinding,
  fix: LocatedFix,
  context: vscode.CodeActionContext,
): Promise<Offer> {
  const action = new vscode.CodeAction(fix.title, vscode.CodeActionKind.QuickFix);
  action.diagnostics = context.diagnostics.filter(
    (one) => one.source === "slabwright" && codeOf(one) === finding.code && one.message === finding.message,
  );
  action.isPreferred = finding.fixes[0] === fix && !fix.lessens;
  action.edit = await workspaceEdit(design, fix);
  return Object.assign(action, { design, finding, fix });
}

async function workspaceEdit(design: Design, fix: LocatedFix): Promise<vscode.WorkspaceEdit> {
  const edit = new vscode.WorkspaceEdit();
  for (const { file, start, end, text } of fix.edits) {
    const document = await vscode.workspace.openTextDocument(design.toEditor(file));
    edit.replace(document.uri, new vscode.Range(document.positionAt(start), document.positionAt(end)), text);
  }
  return edit;
}
