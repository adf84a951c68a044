import { basename } from "node:path";
import type { LocatedFinding, Problem } from "../../../shared/finding.ts";

/** What a report of a fault is made of. */
export interface Reported {
  versions: Record<string, string>;
  settings: Record<string, unknown>;
  /** Absent when no design was in sight. */
  design?: {
    name: string;
    files: readonly string[];
    molds: readonly { parts: number; triangles: number }[];
    findings: readonly LocatedFinding[];
    problem: Problem | undefined;
    timings: Record<string, number>;
    /** The maker's text, where the maker wants it in. */
    text?: string;
  };
}

/**
 * A report for whoever mends Slabwright: file names without their folders, codes and numbers, and
 * nothing that the maker wrote unless `text` is given. In English, for it is not read by the maker.
 */
export function reportText({ versions, settings, design }: Reported): string {
  const list = (values: Record<string, unknown>) =>
    Object.entries(values).map(([key, value]) => `- ${key}: ${shown(value)}`);
  const lines = ["## Slabwright report", "", ...list(versions), "", "### Settings", "", ...list(settings)];
  if (!design) return [...lines, "", "No design was open.", ""].join("\n");
  const { name, files, molds, findings, problem, timings, text } = design;
  lines.push(
    "",
    "### Design",
    "",
    `- name: ${name}`,
    `- files: ${files.map((file) => basename(file)).join(", ")}`,
  );
  for (const { parts, triangles } of molds) lines.push(`- mold: ${parts} parts, ${triangles} triangles`);
  for (const [stage, ms] of Object.entries(timings)) lines.push(`- ${stage}: ${Math.round(ms)} ms`);
  lines.push("", "### Findings", "");
  if (problem) lines.push(`- does not run: ${problem.code} at ${placeOf(problem)}`);
  for (const finding of findings) lines.push(`- ${findingLine(finding)}`);
  if (!problem && findings.length === 0) lines.push("None.");
  if (text !== undefined) lines.push("", "### Text", "", "```ts", text.trimEnd(), "```");
  return [...lines, ""].join("\n");
}

const placeOf = ({ place }: { place: LocatedFinding["place"] }) =>
  `${basename(place.file)}:${place.line}:${place.column}`;

function findingLine(finding: LocatedFinding): string {
  const { severity, code, variant, value, limit, unit, fixes } = finding;
  const name = variant === undefined ? code : `${code} (${variant})`;
  const number = value === undefined ? "" : `, ${value} ${unit ?? ""} (limit ${limit ?? "none"})`;
  return `${severity} ${name} at ${placeOf(finding)}${number}, fixes: ${fixes.length}`;
}

function shown(value: unknown): string {
  return typeof value === "string" ? value : JSON.stringify(value);
}
