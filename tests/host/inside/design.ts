import * as vscode from "vscode";
import { existsSync } from "node:fs";
import { readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Painted } from "../../../src/extension/panel/painted.ts";
import { until } from "./runner.ts";

/** A file of the workspace that the window has open. */
export function inWorkspace(name: string): vscode.Uri {
  const [folder] = vscode.workspace.workspaceFolders ?? [];
  return vscode.Uri.joinPath(folder.uri, name);
}

export async function openDesign(name: string): Promise<vscode.TextEditor> {
  const document = await vscode.workspace.openTextDocument(inWorkspace(name));
  return vscode.window.showTextDocument(document, { viewColumn: vscode.ViewColumn.One, preview: false });
}

/** Our own diagnostics of a file; TypeScript has others on it. */
export function findingsOn(uri: vscode.Uri): vscode.Diagnostic[] {
  return vscode.languages.getDiagnostics(uri).filter(({ source }) => source === "slabwright");
}

export function codeOf({ code }: vscode.Diagnostic): string {
  return String(typeof code === "object" ? code.value : code);
}

export function findingOn(uri: vscode.Uri, code: string): Promise<vscode.Diagnostic> {
  return until(`${code} is found`, () => findingsOn(uri).find((one) => codeOf(one) === code));
}

export function nothingFoundOn(uri: vscode.Uri): Promise<true> {
  return until("nothing is found any more", () => findingsOn(uri).length === 0);
}

/** Puts `text` in place of all that the file holds, unsaved. */
export async function replaceAll(editor: vscode.TextEditor, text: string): Promise<void> {
  const { document } = editor;
  const all = new vscode.Range(document.positionAt(0), document.positionAt(document.getText().length));
  const done = await editor.edit((edit) => edit.replace(all, text));
  if (!done) throw new Error("the editor took no edit");
}

/** What the workspace's own files held when the tests began. */
let original: Map<string, Buffer> | undefined;

/** Puts back what tests have changed, moved or deleted of the workspace's files; call it first before any test. */
export async function restoreFiles(): Promise<void> {
  const folder = inWorkspace("").fsPath;
  if (!original) {
    const names = (await readdir(folder)).filter((name) => /\.(ts|json|svg|stl)$/.test(name));
    original = new Map(
      await Promise.all(names.map(async (name) => [name, await readFile(join(folder, name))] as const)),
    );
  }
  for (const [name, bytes] of original) {
    const path = join(folder, name);
    const now = existsSync(path) ? await readFile(path) : undefined;
    if (!now?.equals(bytes)) await writeFile(path, bytes);
  }
}

/** Closes every editor and preview; unsaved text is dropped. */
export async function closeAll(): Promise<void> {
  for (const document of vscode.workspace.textDocuments) {
    if (!document.isDirty || document.uri.scheme !== "file") continue;
    await vscode.window.showTextDocument(document);
    await vscode.commands.executeCommand("workbench.action.files.revert");
  }
  await vscode.commands.executeCommand("workbench.action.closeAllEditors");
}

export type { Painted };

export async function showPreview(uri: vscode.Uri): Promise<Painted> {
  const painted = await vscode.commands.executeCommand<Painted | undefined>("slabwright.showPreview", {
    uri,
  });
  if (!painted) throw new Error("the preview painted nothing");
  return painted;
}

/** Has the design built for its text as it is now, and waits for its fine picture. Saves the text. */
export async function settledPicture(uri: vscode.Uri): Promise<Painted> {
  await vscode.commands.executeCommand("slabwright.checkDesign", { uri });
  return showPreview(uri);
}
