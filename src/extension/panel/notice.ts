import * as vscode from "vscode";
import type { ToPreview } from "../../../shared/preview.ts";
import type { Design } from "../design/design.ts";
import type { Designs } from "../design/designs.ts";

/** The sentence where there can be no picture, with a button for what can be done about it. */
export function noticeFor(
  uri: vscode.Uri,
  design: Design | undefined,
  designs: Designs,
): Extract<ToPreview, { type: "notice" }> | undefined {
  const { l10n } = vscode;
  if (!vscode.workspace.isTrusted) {
    return {
      type: "notice",
      sentence: l10n.t(
        "A design is a program, and this window is in Restricted Mode: nothing of it has been run. Trust the folder to see the mold.",
      ),
      button: { label: l10n.t("Manage Workspace Trust"), action: "manageTrust" },
    };
  }
  if (designs.missing(uri)) {
    return {
      type: "notice",
      sentence: l10n.t("{0} is not there any more.", uri.fsPath),
      button: { label: l10n.t("Close Preview"), action: "close" },
    };
  }
  if (design && design.state.build === 0 && !design.busy && !designs.byThemselves) {
    return {
      type: "notice",
      sentence: l10n.t("By your settings a design is run only when you ask for it."),
      button: { label: l10n.t("Run It"), action: "evaluate" },
    };
  }
  return undefined;
}
