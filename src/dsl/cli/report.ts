import { relative, sep } from "node:path";
import type { LocatedFinding, LocatedFix, Problem } from "../../../shared/finding.ts";
import type { Place } from "../../../shared/place.ts";

/** A path as one would type it here; absolute when it lies outside of `cwd`. */
export function shownPath(path: string, cwd: string): string {
  const inside = relative(cwd, path);
  return inside === "" ? "." : inside.startsWith(`..${sep}`) || inside === ".." ? path : inside;
}

const shownPlace = (place: Place, cwd: string) =>
  `${shownPath(place.file, cwd)}:${place.line}:${place.column}`;

const oneLine = (text: string) => text.replace(/\s*\n\s*/g, " ");

/** `file:line:column: code: message`, and the maker's own line below when the place lies in a helper. */
export function problemLines(problem: Problem, cwd: string): string[] {
  return [
    `${shownPlace(problem.place, cwd)}: ${problem.code}: ${oneLine(problem.message)}`,
    ...relatedLines(problem.related, cwd),
  ];
}

/** As a problem; what is not an error says so before its code. Below it the edits that were tried and cure it. */
export function findingLines(finding: LocatedFinding, cwd: string): string[] {
  const severity = finding.severity === "error" ? "" : `${finding.severity}: `;
  // On a terminal the worst is enough; --json and the editor have them all.
  const [worst, ...others] = finding.notes ?? [];
  const notes = worst ? [worst, ...others.filter(({ message }) => message === worst.message)] : [];
  return [
    `${shownPlace(finding.place, cwd)}: ${severity}${finding.code}: ${oneLine(finding.message)}`,
    ...relatedLines(finding.related, cwd),
    ...notes.map((note) => `${shownPlace(note.place, cwd)}: note: ${oneLine(note.message)}`),
    ...finding.fixes.filter((fix) => fix.edits.length > 0).map((fix) => `    try: ${oneLine(fix.title)}`),
  ];
}

function relatedLines(related: Place | undefined, cwd: string): string[] {
  return related ? [`${shownPlace(related, cwd)}: note: called from here`] : [];
}

/** “2 errors, 1 warning”, or “no findings”. */
export function findingCount(findings: readonly LocatedFinding[]): string {
  const words = { error: ["error", "errors"], warning: ["warning", "warnings"], info: ["note", "notes"] };
  const counts = (["error", "warning", "info"] as const).flatMap((severity) => {
    const count = findings.filter((finding) => finding.severity === severity).length;
    return count === 0 ? [] : [`${count} ${words[severity][count === 1 ? 0 : 1]}`];
  });
  return counts.join(", ") || "no findings";
}

export const hasErrors = (findings: readonly LocatedFinding[]): boolean =>
  findings.some(({ severity }) => severity === "error");

/** A finding for programs: flat, with the edits of its fixes, paths as shown on the terminal. */
export function findingJson(finding: LocatedFinding, cwd: string) {
  const { code, severity, message, place, related, mold, part, value, limit, unit, at, notes, fixes } =
    finding;
  return {
    code,
    severity,
    message,
    ...placeJson(place, cwd),
    ...(related && { related: placeJson(related, cwd) }),
    mold,
    part,
    value,
    limit,
    unit,
    at,
    ...(notes && { notes: notes.map((note) => ({ message: note.message, ...placeJson(note.place, cwd) })) }),
    fixes: fixes.map((fix) => fixJson(fix, cwd)),
  };
}

export function problemJson({ code, message, place, related }: Problem, cwd: string) {
  return {
    code,
    message,
    ...placeJson(place, cwd),
    ...(related && { related: placeJson(related, cwd) }),
  };
}

function placeJson({ file, line, column, endLine, endColumn }: Place, cwd: string) {
  return { file: shownPath(file, cwd), line, column, endLine, endColumn };
}

/** `start` and `end` are offsets in UTF-16 units of the file's text, the end exclusive. */
function fixJson({ title, edits }: LocatedFix, cwd: string) {
  return {
    title,
    edits: edits.map(({ file, start, end, text }) => ({ file: shownPath(file, cwd), start, end, text })),
  };
}
