import type { TextEdit } from "../../../shared/change.ts";
import type { Finding, LocatedFix } from "../../../shared/finding.ts";
import type { EvaluatedDesign } from "../evaluate/index.ts";
import { applyEdits } from "../source/index.ts";
import { writableFixes, type Sentence } from "./findings.ts";

/** A design with what was found in it. */
export interface Found {
  design: EvaluatedDesign;
  findings: Finding[];
}

/**
 * The fixes of each finding that do what they say: with their edits made, the finding is gone
 * and there is no error that was not there before. `again` evaluates and computes with some
 * texts replaced; it gives undefined where the design does not run any more.
 */
export async function tryFixes(
  before: Found,
  again: (texts: Record<string, string>) => Promise<Found | undefined>,
  sentence: Sentence,
): Promise<Map<Finding, LocatedFix[]>> {
  const tried = new Map<string, Promise<Found | undefined>>();
  const result = new Map<Finding, LocatedFix[]>();
  for (const finding of before.findings) {
    const kept: LocatedFix[] = [];
    for (const one of finding.fixes ?? []) {
      if (one.lastResort && kept.length > 0) continue;
      const fix = writableFixes(before.design, { ...finding, fixes: [one] }, sentence).at(0);
      if (!fix) continue;
      const texts = editedTexts(before.design, fix.edits);
      const key = JSON.stringify(texts);
      if (!tried.has(key)) tried.set(key, again(texts));
      const after = await tried.get(key);
      if (after && isCured(finding, before, after)) kept.push(fix);
    }
    result.set(finding, kept);
  }
  return result;
}

function editedTexts(design: EvaluatedDesign, edits: readonly TextEdit[]): Record<string, string> {
  const texts: Record<string, string> = {};
  for (const file of new Set(edits.map((one) => one.file))) {
    const text = design.texts.get(file);
    if (text === undefined) throw new Error(`an edit of ${file}, which did not take part`);
    texts[file] = applyEdits(
      text,
      edits.filter((one) => one.file === file),
    );
  }
  return texts;
}

function isCured(finding: Finding, before: Found, after: Found): boolean {
  const keys = (found: Found, list: readonly Finding[]) => list.map((one) => identity(found.design, one));
  if (keys(after, after.findings).includes(identity(before.design, finding))) return false;
  const isError = (one: Finding) => one.severity === "error";
  const known = keys(before, before.findings.filter(isError));
  return keys(after, after.findings.filter(isError)).every((one) => known.includes(one));
}

/**
 * A finding is the same one when code, part and call agree. Edits move offsets and may add calls,
 * so the call is known by its name and its rank among the calls of that name.
 */
function identity(design: EvaluatedDesign, finding: Finding): string {
  const { calls } = design;
  const { call } = finding.target;
  const name = calls.nameOf(call) ?? "";
  let rank = 0;
  for (let other = 0; other < call; other++) if (calls.nameOf(other) === name) rank++;
  return JSON.stringify([finding.code, finding.mold ?? "", finding.part ?? "", name, rank]);
}
