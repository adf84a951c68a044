/** What a maker imports from "slabwright", and nothing else. */
export { profile } from "./kit/profile.ts";
export { loft } from "./kit/loft.ts";
export { revolve } from "./kit/revolve.ts";
export { section } from "./kit/section.ts";
export { inside } from "./kit/inside.ts";
export { fit } from "./kit/fit.ts";
export { solid } from "./kit/solid.ts";
export { sweep } from "./kit/sweep.ts";
export { trim } from "./kit/trim.ts";
export { clay } from "./kit/clay.ts";
export { shrink } from "./kit/shrink.ts";
export { split } from "./kit/split.ts";
export { key } from "./kit/key.ts";
export { cutter } from "./kit/cutter.ts";
export { mold } from "./kit/mold.ts";
export { param } from "./kit/param.ts";

export type { Outline, Section } from "./kit/outline.ts";
export type { Body } from "./kit/body.ts";
export type { Clay } from "./kit/clay.ts";
export type { Split, SplitOptions } from "./kit/split.ts";
export type { Key, KeyOptions } from "./kit/key.ts";
export type { Cutter } from "./kit/cutter.ts";
export type { Mold, MoldOptions } from "./kit/mold.ts";
export type { PrinterOptions } from "./kit/printer.ts";
