import * as vscode from "vscode";
import assert from "node:assert/strict";
import { mkdir, rename, writeFile } from "node:fs/promises";
import {
  closeAll,
  findingOn,
  findingsOn,
  inWorkspace,
  nothingFoundOn,
  openDesign,
  replaceAll,
  settledPicture,
  showPreview,
} from "./design.ts";
import { digestsOf, freshBuild } from "./engine.ts";
import { test, until } from "./runner.ts";

const tabs = () => vscode.window.tabGroups.all.flatMap((group) => group.tabs.map((tab) => tab.label));
const read = async (uri: vscode.Uri) => Buffer.from(await vscode.workspace.fs.readFile(uri)).toString("utf8");

async function renameInEditor(from: vscode.Uri, to: vscode.Uri): Promise<void> {
  const edit = new vscode.WorkspaceEdit();
  edit.renameFile(from, to);
  assert.ok(await vscode.workspace.applyEdit(edit), "the editor renamed the file");
}

test("two designs that share an import both follow it, and keep their own findings", async () => {
  const [low, tall] = [inWorkspace("pair-low.mold.ts"), inWorkspace("pair-tall.mold.ts")];
  await openDesign("pair-low.mold.ts");
  const before = { low: await settledPicture(low), tall: await settledPicture(tall) };
  await openDesign("pair-tall.mold.ts");
  const rings = await openDesign("rings.ts");
  const text = rings.document.getText();
  await replaceAll(rings, text.replace("height = 90", "height = 84"));
  for (const [uri, { digests }] of [
    [low, before.low],
    [tall, before.tall],
  ] as const) {
    const after = await settledPicture(uri);
    assert.notDeepEqual(after.digests, digests, uri.path);
    assert.deepEqual(after.digests, digestsOf(await freshBuild(uri, await read(uri))));
  }

  // A finding in the shared file, once for each design.
  await replaceAll(rings, text.replace("acrossFlats: 78", "acrossFlat: 78"));
  const { uri } = rings.document;
  await until("both designs tell it", () => findingsOn(uri).length === 2);
  const tab = vscode.window.tabGroups.all
    .flatMap((group) => group.tabs)
    .filter(({ label }) => /pair-low/.test(label));
  await vscode.window.tabGroups.close(tab);
  await until("one design tells it", () => findingsOn(uri).length === 1);
  assert.match(findingsOn(uri)[0].message, /acrossFlat/);
  await replaceAll(rings, text);
  await nothingFoundOn(uri);
});

test("designs of one name in two folders keep their findings apart", async () => {
  const folder = inWorkspace("other").fsPath;
  await mkdir(folder, { recursive: true });
  await writeFile(
    inWorkspace("other/no-shrink.mold.ts").fsPath,
    await read(inWorkspace("no-shrink.mold.ts")),
  );
  await openDesign("no-shrink.mold.ts");
  const first = inWorkspace("no-shrink.mold.ts");
  const second = inWorkspace("other/no-shrink.mold.ts");
  await findingOn(first, "shrink-missing");
  await openDesign("other/no-shrink.mold.ts");
  await findingOn(second, "shrink-missing");
  assert.equal(findingsOn(first).length, 1);
  await vscode.window.tabGroups.close(
    vscode.window.tabGroups.all
      .flatMap((group) => group.tabs)
      .filter(({ input }) => input instanceof vscode.TabInputText && input.uri.path === second.path),
  );
  await nothingFoundOn(second);
  assert.equal(findingsOn(first).length, 1, "the other design's finding stays");
});

test("a renamed design takes its preview and its findings along", async () => {
  const from = inWorkspace("before.mold.ts");
  await writeFile(from.fsPath, await read(inWorkspace("no-shrink.mold.ts")));
  await openDesign("before.mold.ts");
  await findingOn(from, "shrink-missing");
  const first = await showPreview(from);
  const to = inWorkspace("after.mold.ts");
  await renameInEditor(from, to);
  await findingOn(to, "shrink-missing");
  await nothingFoundOn(from);
  await until("the preview is called after it", () => tabs().includes("Mold: after"));
  assert.ok(!tabs().includes("Mold: before"), tabs().join(", "));
  const painted = await settledPicture(to);
  assert.ok(painted.build > first.build);
  assert.equal(tabs().filter((label) => label.startsWith("Mold:")).length, 1, "it is the same preview");
});

test("a folder that moves takes the previews of its designs along", async () => {
  await mkdir(inWorkspace("shelf").fsPath, { recursive: true });
  await writeFile(inWorkspace("shelf/cup.mold.ts").fsPath, await read(inWorkspace("octagon-beaker.mold.ts")));
  await openDesign("shelf/cup.mold.ts");
  await showPreview(inWorkspace("shelf/cup.mold.ts"));
  await renameInEditor(inWorkspace("shelf"), inWorkspace("cupboard"));
  const moved = inWorkspace("cupboard/cup.mold.ts");
  const painted = await until("the moved design is painted", () => settledPicture(moved));
  assert.deepEqual(painted.digests, digestsOf(await freshBuild(moved, await read(moved))));
  assert.equal(tabs().filter((label) => label.startsWith("Mold:")).length, 1, tabs().join(", "));
});

test("of a deleted design the findings go; when it comes back, so do they and the picture", async () => {
  const uri = inWorkspace("passing.mold.ts");
  const text = await read(inWorkspace("no-shrink.mold.ts"));
  await writeFile(uri.fsPath, text);
  await openDesign("passing.mold.ts");
  const first = await showPreview(uri);
  await findingOn(uri, "shrink-missing");
  await vscode.window.tabGroups.close(
    vscode.window.tabGroups.all
      .flatMap((group) => group.tabs)
      .filter(({ input }) => input instanceof vscode.TabInputText),
  );
  assert.equal(findingsOn(uri).length, 1, "the preview is still there, and so are the findings");
  await vscode.workspace.fs.delete(uri);
  await nothingFoundOn(uri);
  // Written elsewhere and moved in, as some programs save.
  await writeFile(`${uri.fsPath}.new`, text);
  await rename(`${uri.fsPath}.new`, uri.fsPath);
  await findingOn(uri, "shrink-missing");
  const again = await showPreview(uri);
  assert.ok(again.build > first.build);
  await closeAll();
  await nothingFoundOn(uri);
});
