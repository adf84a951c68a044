import type { CallId } from "./place.ts";

/** What can be written as a literal in a design. */
export type Literal = number | string | boolean | null | Literal[] | { [key: string]: Literal };

/**
 * An edit that speaks of the design and not of its text. `src/dsl/source` turns it into text
 * edits, or into the reason why it cannot be written.
 */
export type Change =
  /** Set the option at `path` of the options object that is argument `argument` of the call. */
  | { kind: "setOption"; call: CallId; argument: number; path: string[]; value: Literal }
  /** Put the argument into a kit call: `mold(body)` → `mold(shrink(body, 0.125))`. `args` follow the argument. */
  | { kind: "wrap"; call: CallId; argument: number; name: string; args: Literal[] }
  /** Take a wrapping kit call away again: `shrink(body, 0.12)` → `body`. `argument` is what stays. */
  | { kind: "unwrap"; call: CallId; argument: number }
  | { kind: "setArgument"; call: CallId; argument: number; value: Literal }
  /** Name a printer in the options of the mold. */
  | { kind: "setPrinter"; call: CallId; name: string };

/** One replacement in one file; offsets in UTF-16 units of the text that was evaluated, end exclusive. */
export interface TextEdit {
  file: string;
  start: number;
  end: number;
  text: string;
}
