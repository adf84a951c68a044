import { evaluate, type EvaluateRequest, type Evaluation } from "../../../src/dsl/evaluate/index.ts";
import * as kit from "./kit.ts";

export const FOLDER = "/designs";
export const ENTRY = "/designs/pot.mold.ts";

/** Evaluates texts that are on no disk: the entry, and more files by name. */
export function run(
  text: string,
  files: Record<string, string> = {},
  more: Partial<EvaluateRequest> = {},
): Evaluation {
  const overlays: Record<string, string> = { [ENTRY]: text };
  for (const [name, content] of Object.entries(files)) overlays[`${FOLDER}/${name}`] = content;
  return evaluate({ entry: ENTRY, root: FOLDER, overlays, packages: { slabwright: kit }, ...more });
}

/** The design of a text that runs. */
export function designOf(...args: Parameters<typeof run>) {
  const evaluation = run(...args);
  if (evaluation.problem) throw new Error(`${evaluation.problem.code}: ${evaluation.problem.message}`);
  return evaluation.design;
}

/** `file:line:column-line:column` of a place. */
export function shown(place: {
  file: string;
  line: number;
  column: number;
  endLine: number;
  endColumn: number;
}) {
  const file = place.file.startsWith(FOLDER + "/") ? place.file.slice(FOLDER.length + 1) : place.file;
  return `${file}:${place.line}:${place.column}-${place.endLine}:${place.endColumn}`;
}
