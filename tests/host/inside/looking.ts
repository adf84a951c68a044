import * as vscode from "vscode";
import assert from "node:assert/strict";
import {
  closeAll,
  findingOn,
  findingsOn,
  inWorkspace,
  nothingFoundOn,
  openDesign,
  replaceAll,
  showPreview,
} from "./design.ts";
import { test, until } from "./runner.ts";

test("files are saved only when the maker saves", () => {
  assert.equal(vscode.workspace.getConfiguration("files").get("autoSave"), "off");
  return Promise.resolve();
});

test("the installed extension has every command that its manifest names", async () => {
  const extension = vscode.extensions.getExtension("slabwright.slabwright");
  assert.ok(extension, "the extension is installed");
  await extension.activate();
  const manifest = extension.packageJSON as { contributes: { commands: { command: string }[] } };
  const there = await vscode.commands.getCommands(true);
  for (const { command } of manifest.contributes.commands) assert.ok(there.includes(command), command);
});

test("the preview paints the beaker, and the beaker has no finding", async () => {
  const { document } = await openDesign("octagon-beaker.mold.ts");
  const painted = await showPreview(document.uri);
  assert.ok(painted.triangles > 500, `${painted.triangles} triangles`);
  const tabs = vscode.window.tabGroups.all.flatMap((group) => group.tabs.map((tab) => tab.label));
  assert.ok(tabs.includes("Mold: octagon-beaker"), tabs.join(", "));
  const checked = await vscode.commands.executeCommand<{ findings: unknown[]; problem?: unknown }>(
    "slabwright.checkDesign",
    { uri: document.uri },
  );
  assert.deepEqual(checked, { findings: [] });
  assert.deepEqual(findingsOn(document.uri), []);
});

test("the picture follows text that is not saved", async () => {
  const editor = await openDesign("octagon-beaker.mold.ts");
  const { document } = editor;
  const first = await showPreview(document.uri);
  const height = /lip\.at\((\d+)\)/.exec(document.getText());
  assert.ok(height);
  await replaceAll(editor, document.getText().replace(height[0], "lip.at(90)"));
  const second = await until("a newer build is painted", async () => {
    const painted = await showPreview(document.uri);
    return painted.build > first.build && painted;
  });
  assert.ok(second.triangles > 500);
  assert.ok(document.isDirty, "nothing was saved");
  assert.deepEqual(findingsOn(document.uri), []);
});

test("text that does not run is told of on its line, and the next good text heals it", async () => {
  const editor = await openDesign("octagon-beaker.mold.ts");
  const good = editor.document.getText();
  await replaceAll(editor, `${good}\nconst = 3;\n`);
  const [syntax] = await until("a problem is told", () => {
    const found = findingsOn(editor.document.uri);
    return found.length > 0 && found;
  });
  assert.equal(syntax.severity, vscode.DiagnosticSeverity.Error);
  assert.equal(editor.document.lineAt(syntax.range.start.line).text, "const = 3;");

  await replaceAll(editor, good.replace("acrossFlats: 62", "acrossFlat: 62"));
  const option = await findingOn(editor.document.uri, "kit-unknown-key");
  assert.equal(editor.document.getText(option.range), "acrossFlat");
  assert.match(editor.document.lineAt(option.range.start.line).text, /acrossFlat: 62/);
  assert.match(option.message, /acrossFlat/);
  assert.match(option.message, /acrossFlats/, "says what is allowed");

  await replaceAll(editor, good);
  await nothingFoundOn(editor.document.uri);
});

test("a loop without end is stopped on its line within its limit, and the next good text works", async () => {
  const settings = vscode.workspace.getConfiguration("slabwright");
  await settings.update("timeLimit", 2, vscode.ConfigurationTarget.Workspace);
  try {
    const editor = await openDesign("octagon-beaker.mold.ts");
    const { uri } = editor.document;
    const good = editor.document.getText();
    await showPreview(uri);
    await replaceAll(editor, `${good}\nlet turns = 0;\nwhile (true) {\n  turns++;\n}\n`);
    const start = performance.now();
    const stopped = await findingOn(uri, "time-limit");
    const seconds = (performance.now() - start) / 1000;
    assert.ok(seconds < 2 + 1 + 1, `stopped after ${seconds.toFixed(1)} s`);
    const line = editor.document.lineAt(stopped.range.start.line).text;
    assert.match(line, /while \(true\)|turns\+\+|^}/, `told on “${line}”`);
    await replaceAll(editor, good);
    await nothingFoundOn(uri);
    assert.ok((await showPreview(uri)).triangles > 500);
  } finally {
    await settings.update("timeLimit", undefined, vscode.ConfigurationTarget.Workspace);
  }
});

test("findings go when the last editor and preview of their design close", async () => {
  const uri = inWorkspace("no-shrink.mold.ts");
  await openDesign("no-shrink.mold.ts");
  await findingOn(uri, "shrink-missing");
  await closeAll();
  await nothingFoundOn(uri);
});
