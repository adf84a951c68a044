import * as vscode from "vscode";
import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdtemp, readdir, readFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { closeAll, inWorkspace, openDesign, replaceAll } from "./design.ts";
import { test } from "./runner.ts";

/** SHA-256 of every file under a folder, by its path there. */
async function hashes(folder: string): Promise<Record<string, string>> {
  const found: Record<string, string> = {};
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  for (const entry of entries) {
    if (!entry.isFile()) continue;
    const path = join(entry.parentPath, entry.name);
    found[path.slice(folder.length)] = createHash("sha256")
      .update(await readFile(path))
      .digest("hex");
  }
  return found;
}

async function exportByCommandLine(design: string, out: string): Promise<void> {
  const node = process.env.SLABWRIGHT_TEST_NODE ?? "node";
  const cli = process.env.SLABWRIGHT_TEST_CLI;
  assert.ok(cli, "SLABWRIGHT_TEST_CLI names the command");
  const folder = inWorkspace(".").fsPath;
  await promisify(execFile)(node, [cli, "export", design, "--out", out, "--formats", "stl,3mf"], {
    cwd: folder,
  });
}

interface Exported {
  folder?: string;
  files: { path: string; sha256: string }[];
}

test("export writes what the command line writes, hash for hash, also from text that was not saved", async () => {
  const editor = await openDesign("octagon-beaker.mold.ts");
  const { document } = editor;
  await replaceAll(editor, document.getText().replace(/lip\.at\(\d+\)/, "lip.at(97)"));
  const folder = await mkdtemp(join(tmpdir(), "slabwright-export-"));
  const byEditor = join(folder, "editor");
  const byCommand = join(folder, "command");
  const result = await vscode.commands.executeCommand<Exported>("slabwright.exportMold", {
    uri: document.uri,
    folder: vscode.Uri.file(byEditor),
    formats: ["stl", "3mf"],
  });
  assert.equal(document.isDirty, false, "the design was saved first");
  assert.equal(result.folder, join(byEditor, "octagon-beaker"));
  assert.ok(result.files.length > 4, `${result.files.length} files`);

  await exportByCommandLine(document.uri.fsPath, byCommand);
  const mine = await hashes(byEditor);
  assert.ok(Object.keys(mine).some((path) => path.endsWith(".stl")));
  assert.ok(Object.keys(mine).some((path) => path.endsWith(".3mf")));
  assert.deepEqual(mine, await hashes(byCommand));
});

test("a design with errors writes nothing", async () => {
  const folder = await mkdtemp(join(tmpdir(), "slabwright-export-"));
  const result = await vscode.commands.executeCommand<Exported>("slabwright.exportMold", {
    uri: inWorkspace("no-shrink.mold.ts"),
    folder,
    formats: ["stl"],
  });
  assert.equal(result.folder, undefined);
  assert.deepEqual(await readdir(folder), []);
});

test("a new design is a copy of the first template, and never written over another file", async () => {
  const uri = inWorkspace("my-first.mold.ts");
  const made = await vscode.commands.executeCommand<vscode.Uri | undefined>("slabwright.newDesign", { uri });
  assert.equal(made?.toString(), uri.toString());
  assert.equal(vscode.window.activeTextEditor?.document.uri.toString(), uri.toString());
  const text = vscode.window.activeTextEditor?.document.getText() ?? "";
  assert.match(text, /from "slabwright"/);
  await closeAll();
  await vscode.workspace.fs.writeFile(uri, Buffer.from("// mine\n"));
  const again = await vscode.commands.executeCommand<vscode.Uri | undefined>("slabwright.newDesign", { uri });
  assert.equal(again, undefined);
  assert.equal(await readFile(uri.fsPath, "utf8"), "// mine\n");
});
