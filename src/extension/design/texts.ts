import * as vscode from "vscode";
import type { Paths } from "./identity.ts";

/** Texts of open files inside the design root, saved or not: what the maker sees is what runs. */
export function openTexts(paths: Paths): Record<string, string> {
  const texts: Record<string, string> = {};
  for (const document of vscode.workspace.textDocuments) {
    if (document.isClosed || !/\.(ts|js|json)$/.test(document.uri.path)) continue;
    const file = paths.toEngine(document.uri);
    if (file !== undefined) texts[file] = document.getText();
  }
  return texts;
}
