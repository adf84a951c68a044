import * as vscode from "vscode";
import { Fixes } from "../design/fixes.ts";
import type { Parts } from "../parts.ts";
import { FixAll } from "./fixAll.ts";
import { WetHints } from "./hints.ts";
import { ComputedHover } from "./hover.ts";
import { DesignLenses } from "./lenses.ts";
import { SetUpFix } from "./setUpFix.ts";

/** Everything that stands in the text of a design, or is offered there. */
export function typingHelp({ designs, engine, settings }: Parts): vscode.Disposable[] {
  const { languages } = vscode;
  // Findings may lie in files that a design imports.
  const files: vscode.DocumentFilter = { language: "typescript", scheme: "file" };
  const lenses = new DesignLenses(designs, settings);
  const hints = new WetHints(designs, settings);
  const actions = (provider: vscode.CodeActionProvider, kinds: readonly vscode.CodeActionKind[]) =>
    languages.registerCodeActionsProvider(files, provider, { providedCodeActionKinds: kinds });
  return [
    lenses,
    hints,
    languages.registerCodeLensProvider(files, lenses),
    languages.registerInlayHintsProvider(files, hints),
    languages.registerHoverProvider(files, new ComputedHover(designs, settings)),
    actions(new Fixes(designs), Fixes.kinds),
    actions(new FixAll(designs, engine), FixAll.kinds),
    actions(new SetUpFix(), SetUpFix.kinds),
  ];
}
