import { l10n } from "vscode";
import type { MoldView } from "../../../shared/engine.ts";
import type { LocatedFinding } from "../../../shared/finding.ts";
import { showLengths, type Units } from "../../../shared/units.ts";

/** “2 errors, 1 warning”, or undefined when there is nothing to count. */
export function findingCount(findings: readonly LocatedFinding[]): string | undefined {
  const count = (severity: string) => findings.filter((one) => one.severity === severity).length;
  const [errors, warnings, notes] = [count("error"), count("warning"), count("info")];
  const said = [
    errors === 1 ? l10n.t("1 error") : errors > 0 ? l10n.t("{0} errors", errors) : "",
    warnings === 1 ? l10n.t("1 warning") : warnings > 0 ? l10n.t("{0} warnings", warnings) : "",
    notes === 1 ? l10n.t("1 note") : notes > 0 ? l10n.t("{0} notes", notes) : "",
  ].filter((one) => one !== "");
  return said.length > 0 ? said.join(", ") : undefined;
}

/** The sizes of a mold's pot: what one holds in hand after the kiln, and before it. */
export function firedAndWet({ fired, wet }: MoldView, units: Units): string {
  return l10n.t("fired {0} → wet {1}", showLengths(fired, units), showLengths(wet, units));
}

/** Whole grams of at least 5, as clay is weighed. */
export function grams(value: number): string {
  return l10n.t("{0} g", Math.round(value / 5) * 5);
}

export const degrees = (value: number): string => l10n.t("{0}°", tenth(value));

export const tenth = (value: number): number => Math.round(value * 10) / 10 + 0;
