import * as vscode from "vscode";
import { isAbsolute } from "node:path";
import type { ExportFormat, ExportResult } from "../../../shared/engine.ts";
import type { Design } from "../design/design.ts";
import { rangeOf } from "../design/diagnostics.ts";
import { localized } from "../language/localize.ts";
import type { Parts } from "../parts.ts";
import { saveDesign } from "./save.ts";
import { showFolder } from "./showFolder.ts";
import { pickDesign, readArgument, trusted, type CommandArgument } from "./target.ts";

/**
 * Writes every file of a design's molds. Asks for the folder and the formats unless they are given.
 * Gives what was written, or undefined when nothing was.
 */
export async function exportMold(parts: Parts, argument: unknown): Promise<ExportResult | undefined> {
  const given = readArgument(argument);
  const uri = await pickDesign(given, parts.previews);
  if (!uri || !trusted()) return undefined;
  return parts.designs.use(uri, async (design) => {
    if (!(await saveDesign(design, parts.settings))) return undefined;
    const choice = await chooseWhat(parts, design, given);
    return choice && runExport(parts, design, choice, false);
  });
}

interface Choice {
  out: string;
  formats: ExportFormat[];
}

async function chooseWhat(parts: Parts, design: Design, given: CommandArgument): Promise<Choice | undefined> {
  const paths = await design.paths();
  const usual = parts.settings.exportFolder(design.uri);
  const formats = parts.settings.exportFormats(design.uri);
  const asks = given.folder === undefined && given.formats === undefined;
  let out = given.folder?.fsPath ?? paths.folder(usual);
  if (asks) {
    const other = vscode.l10n.t("Another folder…");
    const here: vscode.QuickPickItem = {
      label: isAbsolute(usual) ? usual : `${usual}/${design.name}`,
      description: vscode.l10n.t("as set"),
    };
    const picked = await vscode.window.showQuickPick([here, { label: other }], {
      title: vscode.l10n.t("Export {0}: where to?", design.name),
    });
    if (!picked) return undefined;
    if (picked.label === other) {
      const [folder] =
        (await vscode.window.showOpenDialog({
          canSelectFolders: true,
          canSelectFiles: false,
          canSelectMany: false,
          openLabel: vscode.l10n.t("Export Here"),
          defaultUri: vscode.Uri.file(paths.folder(".")),
        })) ?? [];
      if (!folder) return undefined;
      out = folder.fsPath;
    }
  }
  if (!asks) return { out, formats: given.formats ?? formats };
  const details = {
    stl: vscode.l10n.t("one file a part, in printing position"),
    "3mf": vscode.l10n.t("one file a mold, every part a named object"),
  };
  const items = (["stl", "3mf"] as const).map((format) => {
    return {
      label: format.toUpperCase(),
      description: details[format],
      picked: formats.includes(format),
      format,
    };
  });
  const wanted = await vscode.window.showQuickPick(items, {
    canPickMany: true,
    title: vscode.l10n.t("Export {0}: which files?", design.name),
  });
  return wanted && wanted.length > 0 ? { out, formats: wanted.map((item) => item.format) } : undefined;
}

async function runExport(
  parts: Parts,
  design: Design,
  { out, formats }: Choice,
  allowErrors: boolean,
): Promise<ExportResult | undefined> {
  const paths = await design.paths();
  const abort = new AbortController();
  let result: ExportResult;
  try {
    result = await vscode.window.withProgress(
      {
        location: vscode.ProgressLocation.Notification,
        title: vscode.l10n.t("Exporting {0}", design.name),
        cancellable: true,
      },
      (progress, token) => {
        token.onCancellationRequested(() => abort.abort());
        let done = 0;
        return parts.engine.host.exportDesign(
          { entry: paths.entry, root: paths.root, out, formats, allowErrors },
          {
            signal: abort.signal,
            onProgress: (step, total, what) => {
              const share = total > 0 ? (100 * step) / total : 0;
              progress.report({ message: what, increment: Math.max(0, share - done) });
              done = Math.max(done, share);
            },
          },
        );
      },
    );
  } catch (error) {
    if (abort.signal.aborted) {
      void vscode.window.showInformationMessage(vscode.l10n.t("Export cancelled; nothing was written."));
      return undefined;
    }
    parts.engine.fault(error);
    return undefined;
  }
  const told = localized(result);
  tell(parts, design, told, { out, formats });
  return told;
}

function tell(parts: Parts, design: Design, result: ExportResult, choice: Choice): void {
  const { folder, problem } = result;
  if (folder !== undefined) {
    const show = vscode.l10n.t("Show in Folder");
    const files = vscode.l10n.t("{0}: {1} files written.", design.name, result.files.length);
    void vscode.window.showInformationMessage(files, show).then((chosen) => {
      if (chosen === show) return showFolder(vscode.Uri.file(folder));
    });
    return;
  }
  if (problem) {
    const go = vscode.l10n.t("Go to Line");
    void vscode.window.showErrorMessage(problem.message, go).then((chosen) => {
      if (chosen !== go) return;
      const options = { selection: rangeOf(problem.place) };
      return vscode.window.showTextDocument(design.toEditor(problem.place.file), options);
    });
    return;
  }
  const errors = result.findings.filter((finding) => finding.severity === "error").length;
  const show = vscode.l10n.t("Show Problems");
  const anyway = vscode.l10n.t("Export Anyway");
  const sentence = vscode.l10n.t("{0} was not exported: findings that are errors: {1}.", design.name, errors);
  void vscode.window.showWarningMessage(sentence, show, anyway).then(async (chosen) => {
    if (chosen === show) await vscode.commands.executeCommand("workbench.actions.view.problems");
    if (chosen === anyway)
      await parts.designs.use(design.uri, (living) => runExport(parts, living, choice, true));
  });
}
