import * as vscode from "vscode";
import type { LocatedFinding, Problem } from "../../../shared/finding.ts";
import type { Parts } from "../parts.ts";
import { saveDesign } from "./save.ts";
import { pickDesign, readArgument, trusted } from "./target.ts";

/** Saves, checks, and says in a sentence what was found. Gives the findings, or undefined when it was called off. */
export async function checkDesign(
  parts: Parts,
  argument: unknown,
): Promise<{ problem?: Problem; findings: LocatedFinding[] } | undefined> {
  const uri = await pickDesign(readArgument(argument), parts.previews);
  if (!uri || !trusted()) return undefined;
  return parts.designs.use(uri, async (design) => {
    if (!(await saveDesign(design, parts.settings))) return undefined;
    const { problem, findings } = await design.upToDate();
    const show = vscode.l10n.t("Show Problems");
    const count = (severity: string) => findings.filter((one) => one.severity === severity).length;
    const sentence = problem
      ? vscode.l10n.t("{0} does not run: {1}", design.name, problem.message)
      : findings.length === 0
        ? vscode.l10n.t("{0}: nothing found, sound at the bench.", design.name)
        : vscode.l10n.t(
            "{0}: errors {1}, warnings {2}, notes {3}.",
            design.name,
            count("error"),
            count("warning"),
            count("info"),
          );
    const buttons = problem || findings.length > 0 ? [show] : [];
    void vscode.window.showInformationMessage(sentence, ...buttons).then((chosen) => {
      if (chosen === show) return vscode.commands.executeCommand("workbench.actions.view.problems");
    });
    return problem ? { problem, findings: [] } : { findings };
  });
}
