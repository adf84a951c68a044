import type { TextEdit } from "../../../shared/change.ts";
import type { Finding, Fix, LocatedFix, MessageArgs } from "../../../shared/finding.ts";
import type { EvaluatedDesign } from "../evaluate/index.ts";
import { applyEdits } from "../source/index.ts";
import { fixesOf, writableFixes, type Sentence } from "./findings.ts";

/** A design with what was found in it. */
export interface Found {
  design: EvaluatedDesign;
  findings: Finding[];
}

/** So many fixes that only lessen a finding are tried, and so many of them are offered. */
const LESSER_TRIED = 3;
const LESSER_KEPT = 2;

/**
 * The fixes of each finding that do what they say: with their edits made, the finding is gone, or
 * where none makes it go, smaller, and then they say by how much; and there is no error that was not there before.
 * `again` evaluates and computes with some texts replaced; it gives undefined where the design does
 * not run any more.
 */
export async function tryFixes(
  before: Found,
  again: (texts: Record<string, string>) => Promise<Found | undefined>,
  sentence: Sentence,
): Promise<Map<Finding, LocatedFix[]>> {
  const tried = new Map<string, Promise<Found | undefined>>();
  const attempt = async (one: Fix) => {
    const [fix] = writableFixes(before.design, [one], sentence);
    if (!fix) return undefined;
    const texts = editedTexts(before.design, fix.edits);
    const key = JSON.stringify(texts);
    if (!tried.has(key)) tried.set(key, again(texts));
    const after = await tried.get(key);
    return after && { fix, after, told: one.told?.(before.findings, after.findings) };
  };
  const titled = (fix: LocatedFix, { title }: Fix, told: MessageArgs): LocatedFix => ({
    ...fix,
    title: sentence(title, told),
    args: told,
  });
  const result = new Map<Finding, LocatedFix[]>();
  for (const finding of before.findings) {
    const kept: LocatedFix[] = [];
    const fixes = fixesOf(finding);
    for (const one of fixes) {
      if (one.leaves !== undefined || (one.lastResort && kept.length > 0)) continue;
      const made = await attempt(one);
      if (made && isCured(finding, before, made.after))
        kept.push(titled(made.fix, one, made.told ?? one.args));
    }
    const lesser = fixes.flatMap((one) => (one.leaves === undefined ? [] : [{ one, leaves: one.leaves }]));
    lesser.sort((a, b) => a.leaves - b.leaves);
    const few = kept.length === 0 ? lesser.slice(0, LESSER_TRIED) : [];
    for (const { one } of few) {
      if (kept.length === LESSER_KEPT) break;
      const made = await attempt(one);
      if (made?.told && hasNoOther(before, made.after))
        kept.push({ ...titled(made.fix, one, made.told), lessens: true });
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

/** Whether there is no kind of error that was not there before: what only gets smaller may be in other parts. */
function hasNoOther(before: Found, after: Found): boolean {
  const errors = ({ findings }: Found) =>
    findings.filter(({ severity }) => severity === "error").map(({ code }) => code);
  const known = errors(before);
  return errors(after).every((code) => known.includes(code));
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
