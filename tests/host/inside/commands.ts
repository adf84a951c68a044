import * as vscode from "vscode";
import assert from "node:assert/strict";
import { findingOn, inWorkspace, openDesign } from "./design.ts";
import { test, until } from "./runner.ts";

test("Describe Mold opens sizes, parts, opening and findings as text", async () => {
  const uri = inWorkspace("octagon-beaker.mold.ts");
  const text = await vscode.commands.executeCommand<string>("slabwright.describeMold", { uri });
  const editor = await until("the text is shown", () => vscode.window.activeTextEditor);
  assert.equal(editor.document.getText(), text);
  assert.equal(editor.document.languageId, "plaintext");
  for (const words of [
    /^Design octagon-beaker$/m,
    /Fired: [\d.]+ × [\d.]+ × 104 mm/,
    /Wet: .* × 118\.9 mm/,
    /shrinks 12\.5 %/,
    /wall-a: .* filament \d+ g/,
    /seam-1 between/,
    /1\. wall-[a-d]: /,
    /Findings: none/,
  ])
    assert.match(text, words);
});

test("Describe Mold tells of findings with their lines", async () => {
  const uri = inWorkspace("no-shrink.mold.ts");
  await openDesign("no-shrink.mold.ts");
  const text = await vscode.commands.executeCommand<string>("slabwright.describeMold", { uri });
  assert.match(text, /Error, shrink-missing: The pot would fire too small/);
  assert.match(text, /Line \d+\./);
});

test("the report has versions, settings and findings, and neither folders nor the maker's text", async () => {
  const { document } = await openDesign("no-shrink.mold.ts");
  await findingOn(document.uri, "shrink-missing");
  const report = await vscode.commands.executeCommand<string>("slabwright.copyReport", { uri: document.uri });
  assert.equal(await vscode.env.clipboard.readText(), report);
  assert.match(report, /slabwright: \d+\.\d+\.\d+/);
  assert.match(report, /timeLimit: 10/);
  assert.match(report, /error shrink-missing at no-shrink\.mold\.ts:\d+:\d+/);
  assert.match(report, /evaluate: \d+ ms/);
  assert.ok(!report.includes(inWorkspace(".").fsPath), "no folder");
  assert.ok(!report.includes("profile."), "nothing of the text");
});
