import * as vscode from "vscode";
import { isDesign } from "../design/identity.ts";
import { consoleTypes, generatedMark, linesToAdd, tsconfigText, typesFolder } from "../language/folder.ts";
import type { Parts } from "../parts.ts";
import { exists } from "./exists.ts";
import { readArgument } from "./target.ts";

/** What the set-up of a folder wrote; `settings` says whether its tsconfig.json was there before. */
export interface SetUp {
  folder: string;
  written: string[];
  settings: "written" | "shown";
}

/**
 * Brings the types of the kit and of `@jscad/modeling` into a folder, so that TypeScript helps
 * there. The folder is the named one, or that of the nearest `tsconfig.json` between the design and
 * its workspace folder, or the workspace folder; a design outside of any has its own. A
 * `tsconfig.json` that is there is never written: the lines to add are shown.
 */
export async function setUpFolder(parts: Parts, argument: unknown): Promise<SetUp | undefined> {
  const given = readArgument(argument);
  const folder = given.folder ?? (await folderOf(given.uri ?? activeDesign()));
  if (!folder) return undefined;
  const types = vscode.Uri.joinPath(folder, typesFolder);
  const shipped = vscode.Uri.joinPath(parts.extension, "dist", "types");
  const files = [
    { name: "slabwright.d.ts", bytes: await read(shipped, "slabwright.d.ts") },
    { name: "jscad-modeling.d.ts", bytes: await read(shipped, "jscad-modeling.d.ts") },
  ];
  const settings = vscode.Uri.joinPath(folder, "tsconfig.json");
  const there = await exists(settings);
  if (!there) files.push({ name: "console.d.ts", bytes: Buffer.from(consoleTypes) });
  const written: string[] = [];
  for (const { name, bytes } of files) {
    const file = vscode.Uri.joinPath(types, name);
    if (!(await isOurs(file))) {
      void vscode.window.showErrorMessage(
        vscode.l10n.t(
          "{0} is a file of your own; nothing more was written. Move it and set up the folder again.",
          vscode.workspace.asRelativePath(file),
        ),
      );
      return undefined;
    }
    await vscode.workspace.fs.writeFile(file, bytes);
    written.push(`${typesFolder}/${name}`);
  }
  if (there) {
    await showLines(settings);
    return { folder: folder.fsPath, written, settings: "shown" };
  }
  await vscode.workspace.fs.writeFile(settings, Buffer.from(tsconfigText()));
  written.push("tsconfig.json");
  void vscode.window.showInformationMessage(
    vscode.l10n.t("Written: {0}. TypeScript starts anew to read them.", written.join(", ")),
  );
  await restartTypeScript();
  return { folder: folder.fsPath, written, settings: "written" };
}

/** It does not always notice a tsconfig.json that appears beside a file it has read. */
async function restartTypeScript(): Promise<void> {
  const restart = "typescript.restartTsServer";
  if ((await vscode.commands.getCommands(true)).includes(restart)) {
    await vscode.commands.executeCommand(restart);
  }
}

function activeDesign(): vscode.Uri | undefined {
  const uri = vscode.window.activeTextEditor?.document.uri;
  return uri && isDesign(uri) ? uri : undefined;
}

async function folderOf(design: vscode.Uri | undefined): Promise<vscode.Uri | undefined> {
  if (design) {
    const own = vscode.Uri.joinPath(design, "..");
    const top = vscode.workspace.getWorkspaceFolder(design)?.uri;
    // Outside of the workspace nothing but the design's own folder is its.
    if (!top) return own;
    for (let folder = own; folder.path.length > top.path.length; folder = vscode.Uri.joinPath(folder, "..")) {
      if (await exists(vscode.Uri.joinPath(folder, "tsconfig.json"))) return folder;
    }
    return top;
  }
  const folders = vscode.workspace.workspaceFolders ?? [];
  if (folders.length === 1) return folders[0].uri;
  if (folders.length > 1) return (await vscode.window.showWorkspaceFolderPick())?.uri;
  void vscode.window.showInformationMessage(vscode.l10n.t("Open the folder of your designs first."));
  return undefined;
}

async function isOurs(file: vscode.Uri): Promise<boolean> {
  if (!(await exists(file))) return true;
  return Buffer.from(await vscode.workspace.fs.readFile(file))
    .toString("utf8")
    .startsWith(generatedMark);
}

async function read(folder: vscode.Uri, name: string): Promise<Uint8Array> {
  return vscode.workspace.fs.readFile(vscode.Uri.joinPath(folder, name));
}

async function showLines(settings: vscode.Uri): Promise<void> {
  const name = vscode.workspace.asRelativePath(settings);
  const head = vscode.l10n.t("{0} is yours and was not changed. Add these lines to it:", name);
  const content = `// ${head}\n${linesToAdd()}`;
  await vscode.window.showTextDocument(settings);
  const lines = await vscode.workspace.openTextDocument({ language: "jsonc", content });
  await vscode.window.showTextDocument(lines, vscode.ViewColumn.Beside);
}
