import * as vscode from "vscode";
import type { MeasureResult } from "../../../shared/engine.ts";
import { isDesign } from "../design/identity.ts";
import { EngineStopped } from "../../dsl/engine/host.ts";
import type { Parts } from "../parts.ts";
import { barsTable, pastedBars } from "./bars.ts";
import { readArgument } from "./target.ts";

type Measured = Exclude<MeasureResult, { fault: unknown }>;

/**
 * Asks for the lengths of test bars, says what the clay shrinks by and how sure that is, and writes
 * the clay into the design or onto the clipboard. Gives what was measured.
 */
export async function recordTestBars(parts: Parts, argument: unknown): Promise<Measured | undefined> {
  const { uri } = readArgument(argument);
  const edited = uri ?? vscode.window.activeTextEditor?.document.uri;
  const design = edited && isDesign(edited) ? await vscode.workspace.openTextDocument(edited) : undefined;
  const name = await askName();
  if (name === undefined) return undefined;
  const table = await askBars(name);
  if (table === undefined) return undefined;
  const result = await measured(parts, name, table, design?.getText());
  if (!result) return undefined;
  if ("fault" in result) {
    void vscode.window.showErrorMessage(vscode.l10n.t("These bars cannot be read: {0}", result.fault.reason));
    return undefined;
  }
  await offer(parts, name, table, result, design);
  return result;
}

function askName(): Thenable<string | undefined> {
  return vscode.window.showInputBox({
    title: vscode.l10n.t("Test bars (1 of 3): the clay"),
    prompt: vscode.l10n.t("What is the clay called, with whatever makes it another one: supplier, firing."),
    placeHolder: vscode.l10n.t("white stoneware, cone 6"),
    ignoreFocusOut: true,
    validateInput: (value) => (value.trim() === "" ? vscode.l10n.t("Give it a name.") : undefined),
  });
}

/** The bars as a table for the engine: one wet length and the fired ones, or a table that was pasted. */
async function askBars(name: string): Promise<string | undefined> {
  const wet = await vscode.window.showInputBox({
    title: vscode.l10n.t("Test bars (2 of 3): {0}, between the marks when wet, in mm", name),
    prompt: vscode.l10n.t("Or paste a table whose first line names its columns: wet, dry, fired."),
    placeHolder: "100",
    ignoreFocusOut: true,
    validateInput: (value) => (pastedBars(value) || isLength(value) ? undefined : notLength()),
  });
  if (wet === undefined) return undefined;
  const pasted = pastedBars(wet);
  if (pasted !== undefined) return pasted;
  const fired: string[] = [];
  for (;;) {
    const next = await vscode.window.showInputBox({
      title: vscode.l10n.t("Test bars (3 of 3): fired length of bar {0}, in mm", fired.length + 1),
      prompt:
        fired.length === 0
          ? vscode.l10n.t(
              "One after another, or all at once with blanks between. Five bars or more say most.",
            )
          : vscode.l10n.t("So far {0}. Leave it empty when that was all.", fired.join(", ")),
      ignoreFocusOut: true,
      validateInput: (value) => {
        if (value.trim() === "") return fired.length === 0 ? notLength() : undefined;
        return lengths(value).every(isLength) ? undefined : notLength();
      },
    });
    if (next === undefined) return undefined;
    if (next.trim() === "") break;
    const given = lengths(next);
    fired.push(...given);
    if (given.length > 1) break;
  }
  return barsTable(wet, fired);
}

const lengths = (text: string): string[] => text.trim().split(/[\s;]+/);
const isLength = (text: string): boolean => /^\s*\d+(?:[.,]\d+)?\s*$/.test(text);
const notLength = (): string => vscode.l10n.t("A length in mm, such as 88.1.");

async function measured(
  { engine }: Parts,
  name: string,
  table: string,
  design: string | undefined,
): Promise<MeasureResult | undefined> {
  try {
    return await engine.host.measure({ name: name.trim(), table, design });
  } catch (error) {
    if (!(error instanceof EngineStopped)) engine.fault(error);
    return undefined;
  }
}

/** What was found, in two sentences. */
export function verdict(name: string, result: Measured): string {
  const { n, total, bandOfMean, reading, batchPer100, piecePer100 } = result;
  const percent = (fraction: number, digits: number) => (fraction * 100).toFixed(digits);
  if (bandOfMean === null || batchPer100 === null || piecePer100 === null) {
    return vscode.l10n.t(
      "{0} shrinks about {1} %. One bar says nothing of its spread, and reading it on a 0.5 mm rule is good to ±{2} points: measure five.",
      name,
      percent(total, 0),
      percent(reading, 1),
    );
  }
  return vscode.l10n.t(
    "{0} shrinks {1} ± {2} % (mean of {3} bars, 95 %). Of a size of 100 mm fired a batch lies within ±{4} mm, one pot within ±{5} mm.",
    name,
    percent(total, 2),
    percent(bandOfMean, 2),
    n,
    batchPer100.toFixed(2),
    piecePer100.toFixed(2),
  );
}

async function offer(
  parts: Parts,
  name: string,
  table: string,
  result: Measured,
  design: vscode.TextDocument | undefined,
): Promise<void> {
  const write = vscode.l10n.t("Write into the Design");
  const copy = vscode.l10n.t("Copy as Code");
  const buttons = design && result.design ? [write, copy] : [copy];
  const chosen = await vscode.window.showInformationMessage(verdict(name, result), ...buttons);
  if (chosen === copy) await vscode.env.clipboard.writeText(result.code);
  if (chosen === write && design) await writeInto(parts, name, table, design);
}

/** The clay goes into the text as it is now, as one edit; the engine is asked anew, for the text may have changed. */
export async function writeInto(
  parts: Parts,
  name: string,
  table: string,
  design: vscode.TextDocument,
): Promise<boolean> {
  const before = design.getText();
  const result = await measured(parts, name, table, before);
  const written = result && !("fault" in result) ? result.design : undefined;
  const all = new vscode.Range(design.positionAt(0), design.positionAt(before.length));
  const edit = new vscode.WorkspaceEdit();
  if (written) edit.replace(design.uri, all, written.text);
  if (!written || design.getText() !== before || !(await vscode.workspace.applyEdit(edit))) {
    void vscode.window.showWarningMessage(
      vscode.l10n.t("The clay could not be written; nothing was changed."),
    );
    return false;
  }
  await vscode.window.showTextDocument(design);
  if (!written.used) {
    void vscode.window.showInformationMessage(
      vscode.l10n.t(
        "Now put {0} where the design says how much the clay shrinks: shrink(body, {0}).",
        written.constant,
      ),
    );
  }
  return true;
}
