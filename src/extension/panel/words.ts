import { l10n } from "vscode";
import type { PreviewWord } from "../../../shared/preview.ts";

/** What the page says, in the maker's language. */
export function previewWordList(): Record<PreviewWord, string> {
  return {
    clay: l10n.t("Clay"),
    mold: l10n.t("Mold"),
    tools: l10n.t("Tools"),
    names: l10n.t("Names"),
    apart: l10n.t("Parts apart"),
    turnLeft: l10n.t("Turn left (Left Arrow)"),
    turnRight: l10n.t("Turn right (Right Arrow)"),
    tiltUp: l10n.t("Look from higher (Up Arrow)"),
    tiltDown: l10n.t("Look from lower (Down Arrow)"),
    nearer: l10n.t("Nearer (+)"),
    farther: l10n.t("Farther (-)"),
    home: l10n.t("Back to the first view (Home)"),
    whichMold: l10n.t("Mold to show"),
    picture: l10n.t("Picture of the mold"),
    findings: l10n.t("Findings"),
    nothingToReport: l10n.t("Nothing found: sound at the bench."),
    notChecked: l10n.t("Not checked: the design does not run."),
    error: l10n.t("Error"),
    warning: l10n.t("Warning"),
    info: l10n.t("Note"),
    stale: l10n.t("The picture is from the last text that ran."),
    working: l10n.t("Working"),
    goToLine: l10n.t("Go to"),
    fired: l10n.t("Fired"),
    wet: l10n.t("Wet"),
    noWebGl: l10n.t("There is no picture: this window has no WebGL. Findings and export work as ever."),
    contextLost: l10n.t("The picture was lost by the graphics driver and comes back by itself."),
  };
}
