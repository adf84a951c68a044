import { readFileSync } from "node:fs";
import type { BuildResult, CureResult } from "../../../shared/engine.ts";
import type { LocatedFinding, LocatedFix, Severity } from "../../../shared/finding.ts";
import { applyEdits, withoutMark } from "../source/index.ts";

/** So many fixes are made at most: a design that needs more wants its maker. */
export const MOST_ROUNDS = 10;

const ranks: Record<Severity, number> = { error: 0, warning: 1, info: 2 };

/**
 * A design with its findings cured, one fix at a time: the first fix of the gravest finding that
 * has one that makes it go is made, and the design is looked at anew, until no finding has a fix, the tenth fix is
 * made, or the texts come back to what they were. `overlays` are texts that win over the disk;
 * `build` gives a design's findings with tried fixes.
 */
export async function cure(
  overlays: Record<string, string>,
  build: (overlays: Record<string, string>) => Promise<BuildResult>,
): Promise<CureResult> {
  const texts: Record<string, string> = {};
  const seen = new Set([JSON.stringify(texts)]);
  const made: string[] = [];
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { problem, findings } = await build({ ...overlays, ...texts });
    const fix = problem ? undefined : firstFix(findings);
    if (!fix) break;
    for (const file of new Set(fix.edits.map((edit) => edit.file))) {
      const before = texts[file] ?? withoutMark(overlays[file] ?? readFileSync(file, "utf8"));
      texts[file] = applyEdits(
        before,
        fix.edits.filter((edit) => edit.file === file),
      );
    }
    const now = JSON.stringify(texts);
    if (seen.has(now)) break;
    seen.add(now);
    made.push(fix.title);
  }
  return { texts, made };
}

function firstFix(findings: readonly LocatedFinding[]): LocatedFix | undefined {
  return findings
    .toSorted((a, b) => ranks[a.severity] - ranks[b.severity])
    .flatMap(({ fixes }) => fixes.slice(0, 1))
    .find(({ edits, lessens }) => edits.length > 0 && !lessens);
}
