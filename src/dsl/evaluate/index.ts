export { CallTable, designName, EvaluatedDesign, type Located } from "./design.ts";
export { evaluate, type EvaluateRequest, type Evaluation } from "./evaluate.ts";
export type { ParsedTexts } from "./graph.ts";
export type { Packages } from "./packages.ts";
export { problem } from "./problem.ts";
