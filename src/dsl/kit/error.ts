import type { MessageArgs } from "../../../shared/finding.ts";
import { renderMessage, type MessageCode } from "../../../shared/messages.ts";
import type { Target } from "../../../shared/place.ts";

/** Misuse of the kit. Its sentence names the call, the key, the value and what is allowed. */
export class KitError extends Error {
  override readonly name = "KitError";
  readonly code: MessageCode;
  readonly args: MessageArgs;
  /** What the sentence speaks of; the evaluator turns it into a place in the maker's file. */
  readonly target: Target;

  constructor(code: MessageCode, args: MessageArgs, target: Target) {
    super(renderMessage(code, args));
    this.code = code;
    this.args = args;
    this.target = target;
  }
}
