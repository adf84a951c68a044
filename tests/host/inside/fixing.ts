import * as vscode from "vscode";
import assert from "node:assert/strict";
import { findingOn, findingsOn, nothingFoundOn, openDesign } from "./design.ts";
import { test, until } from "./runner.ts";

/** Quick fixes on a range whose title speaks of `word`; TypeScript offers others there. */
async function offeredFixes(
  uri: vscode.Uri,
  range: vscode.Range,
  word: RegExp,
): Promise<vscode.CodeAction[]> {
  const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>(
    "vscode.executeCodeActionProvider",
    uri,
    range,
    vscode.CodeActionKind.QuickFix.value,
    20,
  );
  return actions.filter(({ title }) => word.test(title));
}

test("a body that nobody shrank is underlined where it goes into the mold; its fix is applied and gone", async () => {
  const { document } = await openDesign("no-shrink.mold.ts");
  const { uri } = document;
  const before = document.getText();
  const missing = await findingOn(uri, "shrink-missing");
  assert.equal(document.getText(missing.range), "beaker");
  assert.equal(document.lineAt(missing.range.start.line).text, "export default mold(beaker, {");
  assert.equal(missing.severity, vscode.DiagnosticSeverity.Error);

  const fixes = await until("a fix is offered", async () => {
    const offered = await offeredFixes(uri, missing.range, /shrink/);
    return offered.length > 0 && offered;
  });
  const [fix] = fixes;
  assert.ok(fix.edit, "the fix is a plain edit");
  assert.ok(await vscode.workspace.applyEdit(fix.edit));
  assert.match(document.getText(), /mold\(shrink\(beaker, 0\.\d+\)/);
  assert.match(document.getText(), /import \{[^}]*\bshrink\b[^}]*\} from "slabwright"/);
  await nothingFoundOn(uri);

  await vscode.commands.executeCommand("undo");
  assert.equal(document.getText(), before, "one undo brings the text back");
  await findingOn(uri, "shrink-missing");
  assert.equal(findingsOn(uri).length, 1);
});
