export { CallTable, EvaluatedDesign, type Located } from "./design.ts";
export { evaluate, type EvaluateRequest, type Evaluation } from "./evaluate.ts";
export type { ParsedTexts } from "./graph.ts";
export type { Packages } from "./packages.ts";
export { problem, rejectedProblem } from "./problem.ts";
export { designName } from "./name.ts";
