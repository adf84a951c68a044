import * as vscode from "vscode";
import * as z from "zod/mini";
import { exportFormats, type ExportFormat } from "../../../shared/engine.ts";
import { isDesign } from "../design/identity.ts";
import type { Previews } from "../panel/previews.ts";

const named = z.union([
  z.string(),
  z.custom<vscode.Uri>((value) => value instanceof vscode.Uri, "a URI or an absolute path"),
]);
const given = z.object({
  uri: z.optional(named),
  folder: z.optional(named),
  formats: z.optional(z.array(z.enum(exportFormats))),
});

/** What a command was called with: `{ uri, folder, formats }`, each of them optional. */
export interface CommandArgument {
  uri?: vscode.Uri;
  folder?: vscode.Uri;
  formats?: ExportFormat[];
}

const toUri = (value: string | vscode.Uri | undefined): vscode.Uri | undefined => {
  if (typeof value !== "string") return value;
  return /^[a-z][\w+.-]+:/i.test(value) ? vscode.Uri.parse(value, true) : vscode.Uri.file(value);
};

/** Menus hand over the file's URI alone. Anything of another shape throws and names the shape. */
export function readArgument(argument: unknown): CommandArgument {
  if (argument === undefined || argument === null) return {};
  if (argument instanceof vscode.Uri) return { uri: argument };
  const read = given.safeParse(argument);
  if (!read.success) {
    throw new Error(
      vscode.l10n.t("The argument has to be { uri, folder, formats }: {0}", z.prettifyError(read.error)),
    );
  }
  const { uri, folder, formats } = read.data;
  return { uri: toUri(uri), folder: toUri(folder), formats };
}

/**
 * The design that a command is about: the named one, that of the preview in focus, or that of the
 * active editor. Where there is none, or it is no file on a disk, the maker is told and it is undefined.
 */
export async function pickDesign(
  argument: CommandArgument,
  previews: Previews,
): Promise<vscode.Uri | undefined> {
  const active = vscode.window.activeTextEditor?.document;
  const uri = argument.uri ?? previews.active ?? active?.uri;
  if (uri && isDesign(uri)) return uri;
  if (uri && active?.uri.toString() === uri.toString() && uri.scheme === "untitled") {
    const save = vscode.l10n.t("Save As…");
    const chosen = await vscode.window.showInformationMessage(
      vscode.l10n.t("A design has to be saved in a file named *.mold.ts first."),
      save,
    );
    if (chosen !== save) return undefined;
    const saved = await vscode.workspace.saveAs(uri);
    return saved && isDesign(saved) ? saved : undefined;
  }
  void vscode.window.showInformationMessage(
    vscode.l10n.t("Open a design first: a file on this machine named *.mold.ts."),
  );
  return undefined;
}

/** Nothing of a design runs in Restricted Mode; where that stands in the way, the maker can change it. */
export function trusted(): boolean {
  if (vscode.workspace.isTrusted) return true;
  const manage = vscode.l10n.t("Manage Workspace Trust");
  void vscode.window
    .showWarningMessage(
      vscode.l10n.t("A design is a program, and this window is in Restricted Mode: nothing of it is run."),
      manage,
    )
    .then((chosen) => {
      if (chosen === manage) void vscode.commands.executeCommand("workbench.trust.manage");
    });
  return false;
}
