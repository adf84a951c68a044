import type { Change, TextEdit } from "../../../../shared/change.ts";
import type { MessageArgs } from "../../../../shared/finding.ts";
import { renderTemplate } from "../../../../shared/messages.ts";
import type { CallId, Place } from "../../../../shared/place.ts";
import { problemMessages, type ProblemCode } from "../../../../shared/problems.ts";
import MagicString from "magic-string";
import type { Call } from "../calls.ts";
import type { SourceModule } from "../module.ts";
import { placeOf } from "../place.ts";
import { placed } from "../tree.ts";
import { writeValue, type Written } from "./set.ts";
import { writeUnwrap, writeWrap } from "./wrap.ts";

/** Why a change is not to be had as an edit, with what to look at instead. */
export interface Refusal {
  code: ProblemCode;
  args: MessageArgs;
  message: string;
  place?: Place;
}

/** Where a call stands in the texts that were evaluated. */
export interface CallSite {
  file: string;
  module: SourceModule;
  call: Call;
}

/** The edits that make a change, in the order of the text; or why there are none. */
export function editsFor(
  change: Change,
  siteOf: (call: CallId) => CallSite | undefined,
): { edits: TextEdit[] } | { refusal: Refusal } {
  const site = siteOf(change.call);
  if (!site) return { refusal: refuse("edit-no-call", {}) };
  const { file, module, call } = site;
  const written = write(change, module, call);
  if ("obstacle" in written) {
    const { code, args, node } = written.obstacle;
    return { refusal: { ...refuse(code, args), place: placeOf(file, module, placed(node)) } };
  }
  const edits = written.replacements.map((one) => ({ file, ...one }));
  return { edits: edits.sort((a, b) => a.start - b.start || a.end - b.end) };
}

function write(change: Change, module: SourceModule, call: Call): Written {
  switch (change.kind) {
    case "setOption":
      return writeValue(module, call, change.argument, change.path, change.value);
    case "setArgument":
      return writeValue(module, call, change.argument, [], change.value);
    case "setPrinter":
      return writeValue(module, call, 1, ["printer"], change.name);
    case "wrap":
      return writeWrap(module, call, change.argument, change.name, change.args);
    case "unwrap":
      return writeUnwrap(module, call, change.argument);
  }
}

function refuse(code: ProblemCode, args: MessageArgs): Refusal {
  return { code, args, message: renderTemplate(problemMessages[code], args) };
}

/** The text with the edits of one file made. */
export function applyEdits(text: string, edits: readonly TextEdit[]): string {
  const result = new MagicString(text);
  for (const { start, end, text: added } of edits) {
    if (start === end) result.appendLeft(start, added);
    else result.update(start, end, added);
  }
  return result.toString();
}
