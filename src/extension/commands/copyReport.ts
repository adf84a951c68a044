import * as vscode from "vscode";
import { isAbsolute } from "node:path";
import { reportText, type Reported } from "../describe/report.ts";
import type { Design } from "../design/design.ts";
import type { Parts } from "../parts.ts";
import { readArgument } from "./target.ts";

/**
 * Puts a report on the clipboard: versions, settings, how the design stands, how long things took.
 * The design's own text comes with it only when the maker then asks for that. Gives the report.
 */
export async function copyReport(parts: Parts, argument: unknown): Promise<string> {
  const { uri } = readArgument(argument);
  const seen = uri ?? parts.previews.active ?? vscode.window.activeTextEditor?.document.uri;
  const design = (seen && parts.designs.get(seen)) ?? [...parts.designs.all].at(0);
  const report = reportText(reported(parts, design));
  await vscode.env.clipboard.writeText(report);
  const withText = vscode.l10n.t("Copy Again with My Text");
  const sentence = vscode.l10n.t("The report is on the clipboard. Nothing that you wrote is in it.");
  void vscode.window.showInformationMessage(sentence, ...(design ? [withText] : [])).then(async (chosen) => {
    if (chosen !== withText || !design) return;
    const { document } = { document: await vscode.workspace.openTextDocument(design.uri) };
    await vscode.env.clipboard.writeText(reportText(reported(parts, design, document.getText())));
  });
  return report;
}

function reported({ settings }: Parts, design: Design | undefined, text?: string): Reported {
  const extension = vscode.extensions.getExtension("slabwright.slabwright");
  const { version } = (extension?.packageJSON ?? { version: "?" }) as { version: string };
  return {
    versions: {
      slabwright: version,
      editor: `${vscode.env.appName} ${vscode.version}`,
      host: `${vscode.env.appHost}, ${vscode.UIKind[vscode.env.uiKind]}, remote ${vscode.env.remoteName ?? "none"}`,
      node: process.version,
      system: `${process.platform} ${process.arch}`,
      language: vscode.env.language,
    },
    settings: withoutFolders(settings.all),
    ...(design && { design: described(design, text) }),
  };
}

/** A folder may say who somebody is: only whether it is absolute goes into a report. */
function withoutFolders(settings: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(settings).map(([key, value]) => {
      return [key, typeof value === "string" && isAbsolute(value) ? "(an absolute path)" : value];
    }),
  );
}

function described({ name, state }: Design, text: string | undefined): NonNullable<Reported["design"]> {
  return {
    name,
    files: [...state.files],
    molds: (state.molds ?? []).map(({ surfaces }) => ({
      parts: surfaces.length,
      triangles: surfaces.reduce((sum, { geometry }) => sum + (geometry?.triangles.length ?? 0) / 3, 0),
    })),
    findings: state.findings,
    problem: state.problem,
    timings: state.making?.engine ?? {},
    text,
  };
}
