import type { MessageArgs } from "../../../shared/finding.ts";
import { renderTemplate } from "../../../shared/messages.ts";
import { problemMessages, type ProblemCode } from "../../../shared/problems.ts";

/** A text that cannot become a design. Offsets in UTF-16 units, the end exclusive. */
export class SourceError extends Error {
  override readonly name = "SourceError";
  readonly code: ProblemCode;
  readonly args: MessageArgs;
  readonly start: number;
  readonly end: number;

  constructor(code: ProblemCode, args: MessageArgs, start: number, end: number) {
    super(renderTemplate(problemMessages[code], args));
    this.code = code;
    this.args = args;
    this.start = start;
    this.end = end;
  }
}
