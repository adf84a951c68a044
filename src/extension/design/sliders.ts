import * as vscode from "vscode";
import type { ParamView } from "../../../shared/engine.ts";
import type { Design } from "./design.ts";
import { rangeOf } from "./diagnostics.ts";
import { readLiteral, writeNumber } from "./number.ts";

/**
 * Puts the number that a slider was left at into the code: one edit, one step to undo, nothing
 * saved. It goes where the number stands by now; when something else stands there, the text is
 * read anew, once, and after that nothing is changed. Gives the file that was edited.
 */
export async function writeParam(
  design: Design,
  name: string,
  value: number,
): Promise<vscode.Uri | undefined> {
  try {
    for (const again of [false, true]) {
      const { params, problem } = again ? await design.upToDate() : design.state;
      if (!design.alive) return undefined;
      if (problem) return tell(heldSentence());
      const param = params.find((one) => one.name === name);
      const written = param && (await writeOnce(design, param, value));
      if (written) return written;
    }
  } finally {
    design.dropTrial(name);
  }
  return tell(
    vscode.l10n.t(
      "The code has changed, and the number of “{0}” could not be found in it. Nothing was changed; move the slider again.",
      name,
    ),
  );
}

/** Why no slider can write while the design does not run. */
export function heldSentence(): string {
  return vscode.l10n.t("Sliders wait until the design runs again.");
}

async function writeOnce(design: Design, param: ParamView, value: number): Promise<vscode.Uri | undefined> {
  if (!param.writable) return undefined;
  const document = await vscode.workspace.openTextDocument(design.toEditor(param.place.file));
  const range = rangeOf(param.place);
  const found = readLiteral(document.getText(range));
  if (found?.value !== param.value) return undefined;
  const text = writeNumber(value, param);
  // Nothing to write is nothing to undo either.
  if (Number(text) === found.value) return document.uri;
  const start = document.offsetAt(range.start);
  const literal = new vscode.Range(
    document.positionAt(start + found.start),
    document.positionAt(start + found.end),
  );
  const edit = new vscode.WorkspaceEdit();
  edit.replace(document.uri, literal, text);
  // From here on the code has the number: the edit asks for the build, and no other is needed.
  design.forgetTrial(param.name);
  if (await vscode.workspace.applyEdit(edit)) return document.uri;
  design.touch(true);
  return undefined;
}

function tell(sentence: string): undefined {
  void vscode.window.showInformationMessage(sentence);
}
