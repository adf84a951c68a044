import { l10n } from "vscode";
import type { MoldNumbers, MoldView } from "../../../shared/engine.ts";
import type { LocatedFinding, Problem } from "../../../shared/finding.ts";
import { showLengths, type Units } from "../../../shared/units.ts";
import { degrees, findingCount, grams, tenth } from "../language/words.ts";

/** What is known of a design, to be read line by line. */
export interface Described {
  name: string;
  molds: readonly MoldView[];
  findings: readonly LocatedFinding[];
  problem: Problem | undefined;
}

/** Everything about the molds of a design as plain text: one thing a line, nothing that needs a picture. */
export function describeDesign({ name, molds, findings, problem }: Described, units: Units): string {
  const lines: string[] = [l10n.t("Design {0}", name), ""];
  if (problem) {
    lines.push(
      l10n.t("The design does not run, line {0}: {1}", problem.place.line, problem.message),
      l10n.t("What follows is from the last text that ran."),
      "",
    );
  }
  for (const mold of molds) lines.push(...describeMold(mold, units), "");
  if (molds.length === 0) lines.push(l10n.t("There is no mold to describe."), "");
  lines.push(l10n.t("Findings: {0}", findingCount(findings) ?? l10n.t("none, sound at the bench")));
  const words = { error: l10n.t("Error"), warning: l10n.t("Warning"), info: l10n.t("Note") };
  for (const { severity, code, message, place } of findings) {
    lines.push(`  ${words[severity]}, ${code}: ${message}`, `    ${l10n.t("Line {0}.", place.line)}`);
  }
  return lines.join("\n") + "\n";
}

function describeMold(mold: MoldView, units: Units): string[] {
  const { numbers } = mold;
  const lines = [
    mold.name,
    l10n.t("  Fired: {0} (width, depth, height)", showLengths(mold.fired, units, 0.1)),
    l10n.t("  Wet: {0}", showLengths(mold.wet, units, 0.1)),
  ];
  if (!numbers) return [...lines, l10n.t("  A body without a mold.")];
  return [
    ...lines,
    ...clayLines(numbers),
    ...makingLines(numbers, units),
    l10n.t("  Parts:"),
    ...numbers.parts.map((part) => partLine(part, units)),
    ...(numbers.seams.length > 0 ? [l10n.t("  Seams:")] : []),
    ...numbers.seams.map(({ name, parts, atDeg, keys }) =>
      l10n.t(
        "    {0} between {1} and {2}, at {3}, keys: {4}",
        name,
        parts[0],
        parts[1],
        degrees(atDeg),
        keys,
      ),
    ),
    ...openingLines(numbers, units),
  ];
}

function clayLines({ clay, slab, fired, wet }: MoldNumbers): string[] {
  const percent = (fraction: number) => Number((fraction * 100).toFixed(2));
  const shrinkage = clay.name
    ? l10n.t("  Clay {0}: shrinks {1} %", clay.name, percent(clay.total))
    : l10n.t("  Clay: shrinks {0} %", percent(clay.total));
  return [
    clay.used > 0
      ? l10n.t("{0}, of which {1} % before it is pressed", shrinkage, percent(clay.used))
      : shrinkage,
    slab === "solid"
      ? l10n.t("  Solid clay: {0} wet", grams(wet.massG))
      : l10n.t("  Slab {0} mm: {1} cm², {2} wet", slab, Math.round(wet.slabAreaMm2 / 100), grams(wet.massG)),
    ...(fired ? [l10n.t("  Fired weight without glaze: {0}", grams(fired.massG))] : []),
    ...(fired && fired.capacityMl !== null
      ? [l10n.t("  Holds {0} mL fired, to the brim", Math.round(fired.capacityMl))]
      : []),
  ];
}

function makingLines(numbers: MoldNumbers, units: Units): string[] {
  const { press, base, side, stand, open, wall, leastDraftDeg } = numbers;
  const pressed = {
    closed: l10n.t("  Pressed in the closed mold"),
    parts: l10n.t("  Pressed part by part, then joined"),
  };
  const stands = { foot: l10n.t("standing on its foot"), rim: l10n.t("standing on its rim") };
  return [
    l10n.t("{0}, opened {1}", pressed[press], stands[stand]),
    l10n.t("  Base: {0}; side: {1}; open at: {2}", base, side, open),
    l10n.t("  Printed shell {0}", showLengths([wall], units, 0.01)),
    ...(leastDraftDeg === null ? [] : [l10n.t("  Least draft {0}", degrees(leastDraftDeg))]),
  ];
}

function partLine(part: MoldNumbers["parts"][number], units: Units): string {
  const said = [
    `    ${part.name}: ${showLengths(part.size, units)}`,
    l10n.t("filament {0} g", Math.round(part.filamentG)),
    l10n.t("about {0} h", tenth(part.printHours)),
  ];
  if (part.draftDeg !== null) said.push(l10n.t("draft {0}", degrees(part.draftDeg)));
  if (part.undercutMm > 0)
    said.push(l10n.t("undercut {0} mm² to {1} mm", Math.round(part.undercutMm2), tenth(part.undercutMm)));
  return said.join(", ");
}

function openingLines({ moves }: MoldNumbers, units: Units): string[] {
  if (moves.length === 0) return [];
  return [
    l10n.t("  Opening, one part at a time:"),
    ...moves.map(({ part, direction, mm, against }, i) => {
      const along =
        against.length > 0 ? l10n.t(", sliding along {0}", against.join(", ")) : l10n.t(", touching nothing");
      return `    ${i + 1}. ${part}: ${headingOf(direction)}, ${showLengths([mm], units)}${along}`;
    }),
  ];
}

/** A direction in words: level ones by their angle from +x, steep ones up or down. */
function headingOf([x, y, z]: readonly [number, number, number]): string {
  const rise = tenth((Math.asin(Math.max(-1, Math.min(1, z))) * 180) / Math.PI);
  if (rise > 89.9) return l10n.t("straight up");
  if (rise < -89.9) return l10n.t("straight down");
  const angle = Math.round((Math.atan2(y, x) * 180) / Math.PI + 360) % 360;
  if (Math.abs(rise) < 0.05) return l10n.t("level towards {0}°", angle);
  return rise > 0
    ? l10n.t("towards {0}°, rising {1}°", angle, rise)
    : l10n.t("towards {0}°, falling {1}°", angle, -rise);
}
