export { applyEdits, editsFor, type CallSite, type Refusal } from "./edits/change.ts";
export { isCall, type Call } from "./calls.ts";
export { SourceError } from "./error.ts";
export { Lines } from "./lines.ts";
export { SourceModule, withoutMark } from "./module.ts";
export { narrowRange } from "./narrow.ts";
export { placeOf } from "./place.ts";
export type { ModuleImport } from "./ports.ts";
export { isWritableNumber } from "./values.ts";
