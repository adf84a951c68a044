import * as kit from "../../../src/dsl/index.ts";
import { evaluate, type Evaluation } from "../../../src/dsl/evaluate/index.ts";

export const FOLDER = "/designs";
export const ENTRY = `${FOLDER}/pot.mold.ts`;

/** Evaluates a design with the real kit, from texts that are on no disk: the entry, and more files by name. */
export function evaluateText(text: string, files: Record<string, string> = {}): Evaluation {
  const overlays: Record<string, string> = { [ENTRY]: text };
  for (const [name, content] of Object.entries(files)) overlays[`${FOLDER}/${name}`] = content;
  return evaluate({ entry: ENTRY, root: FOLDER, overlays, packages: { slabwright: kit } });
}

/** What a design with everything of the kit imported exports. */
export function valueOf(text: string, files: Record<string, string> = {}): unknown {
  const evaluation = evaluateText(withImports(text), files);
  if (evaluation.problem) throw new Error(`${evaluation.problem.code}: ${evaluation.problem.message}`);
  return evaluation.design.value;
}

/** The import stands on the text's own first line, so that lines count as written. */
export function withImports(text: string): string {
  return `import { ${Object.keys(kit).join(", ")} } from "slabwright"; ${text}`;
}
