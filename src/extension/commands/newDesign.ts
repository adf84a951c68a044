import * as vscode from "vscode";
import { basename } from "node:path";
import type { Parts } from "../parts.ts";
import { isDesign } from "../design/identity.ts";
import { exists } from "./exists.ts";
import { readArgument } from "./target.ts";

const ending = ".mold.ts";
const goodName = /^[a-z0-9][a-z0-9._-]*$/i;

/**
 * A new design, copied from one of the examples, opened in an editor. With `uri` it becomes that
 * file, from the first template and without a question; `folder` says where to put it otherwise.
 * A file that is there is never written over.
 */
export async function newDesign(parts: Parts, argument: unknown): Promise<vscode.Uri | undefined> {
  const given = readArgument(argument);
  const templates = await findTemplates(parts.extension);
  const template = given.uri && isDesign(given.uri) ? templates[0] : await pickTemplate(templates);
  if (!template) return undefined;
  const file = given.uri && isDesign(given.uri) ? given.uri : await pickFile(given.folder, template.label);
  if (!file) return undefined;
  if (await exists(file)) {
    void vscode.window.showErrorMessage(
      vscode.l10n.t("{0} is there already; nothing was written.", vscode.workspace.asRelativePath(file)),
    );
    return undefined;
  }
  await vscode.workspace.fs.copy(template.uri, file, { overwrite: false });
  await vscode.window.showTextDocument(file);
  return file;
}

interface Template extends vscode.QuickPickItem {
  uri: vscode.Uri;
}

async function findTemplates(extension: vscode.Uri): Promise<Template[]> {
  const folder = vscode.Uri.joinPath(extension, "examples");
  const names = (await vscode.workspace.fs.readDirectory(folder))
    .map(([name]) => name)
    .filter((name) => name.endsWith(ending))
    .sort();
  // The plainest vessel comes first.
  names.sort((a, b) => Number(b === `octagon-beaker${ending}`) - Number(a === `octagon-beaker${ending}`));
  return names.map((name) => {
    return { label: name.slice(0, -ending.length), uri: vscode.Uri.joinPath(folder, name) };
  });
}

function pickTemplate(templates: Template[]): Thenable<Template | undefined> {
  return vscode.window.showQuickPick(templates, { title: vscode.l10n.t("New design: start from which?") });
}

async function pickFile(folder: vscode.Uri | undefined, name: string): Promise<vscode.Uri | undefined> {
  const place = folder ?? (await pickFolder());
  if (!place) return undefined;
  const free = async (wanted: string) => !(await exists(vscode.Uri.joinPath(place, wanted + ending)));
  const chosen = await vscode.window.showInputBox({
    title: vscode.l10n.t("New design: its name, in {0}", basename(place.fsPath)),
    value: name,
    validateInput: async (value) => {
      const wanted = value.replace(/\.mold\.ts$/, "");
      if (!goodName.test(wanted))
        return vscode.l10n.t("Letters, digits, “-”, “_” and “.”, such as tall-beaker.");
      return (await free(wanted)) ? undefined : vscode.l10n.t("There is a design of this name already.");
    },
  });
  if (!chosen) return undefined;
  return vscode.Uri.joinPath(place, chosen.replace(/\.mold\.ts$/, "") + ending);
}

async function pickFolder(): Promise<vscode.Uri | undefined> {
  const folders = vscode.workspace.workspaceFolders ?? [];
  if (folders.length === 1) return folders[0].uri;
  if (folders.length > 1) return (await vscode.window.showWorkspaceFolderPick())?.uri;
  const picked = await vscode.window.showOpenDialog({ canSelectFolders: true, canSelectFiles: false });
  return picked?.[0];
}
