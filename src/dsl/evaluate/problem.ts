import type { MessageArgs, Problem } from "../../../shared/finding.ts";
import { renderTemplate } from "../../../shared/messages.ts";
import { problemMessages, type ProblemCode } from "../../../shared/problems.ts";
import { types } from "node:util";
import { KitError } from "../kit/error.ts";
import { placeOf } from "../source/index.ts";
import type { CallTable, Located } from "./design.ts";
import { LoadError } from "./graph.ts";
import { DesignError } from "./recorder.ts";
import { errorFrames, safely, withErrorFrames, type RunFrame } from "./stack.ts";

export function problem(code: ProblemCode, args: MessageArgs, located: Located): Problem {
  return { code, args, message: renderTemplate(problemMessages[code], args), ...located };
}

/** A text that could not be read, as one message. */
export function loadProblem(error: LoadError): Problem {
  const place = placeOf(error.file, error, error.range);
  return problem(error.code, error.args, { place });
}

/**
 * What a design threw, as one message. `whereThrown` is asked for the stack of a value that
 * carries none.
 */
export function thrownProblem(
  thrown: unknown,
  calls: CallTable,
  whereThrown: () => readonly RunFrame[],
): Problem {
  if (thrown instanceof KitError) {
    const { code, args, message, target } = thrown;
    return { code, args, message, ...locateMisuse(thrown, target, calls) };
  }
  if (thrown instanceof DesignError)
    return problem(thrown.code, thrown.args, locateMisuse(thrown, thrown.target, calls));
  if (!types.isNativeError(thrown))
    return problem("thrown-value", { value: shown(thrown) }, calls.locateFrames(whereThrown()));
  let frames: readonly RunFrame[] = errorFrames(thrown);
  if (!calls.knowsAny(frames)) frames = whereThrown();
  const { place, related } = calls.locateFrames(frames);
  const message = text(() => thrown.message);
  if (/^Maximum call stack size exceeded/.test(message)) return problem("stack-overflow", {}, { place });
  const name = text(() => thrown.name) || "Error";
  return problem(
    "thrown",
    { name, reason: message || "no message" },
    related ? { place, related } : { place },
  );
}

/**
 * A promise that a design left rejected, as one message: at the place where its error was made. A
 * reason that is no error carries no stack; it stands at the export.
 */
export function rejectedProblem(reason: unknown, calls: CallTable): Problem {
  return withErrorFrames(() => {
    const { message, place, related } = thrownProblem(reason, calls, () => []);
    const said = types.isNativeError(reason) ? message : shown(reason);
    const args = { reason: said.replace(/\.$/, "") };
    return problem("promise-rejected", args, related ? { place, related } : { place });
  });
}

/** The target's place; where the kit knew no call, the line from which the design called the kit. */
function locateMisuse(error: Error, target: { call: number }, calls: CallTable): Located {
  return target.call >= 0 ? calls.locate(target) : calls.locateFrames(errorFrames(error));
}

/** One line of a text that the design may have made to throw or to grow without end. */
function text(look: () => unknown): string {
  const value = safely(look);
  if (typeof value !== "string") return "";
  const line = value.replace(/\s+/g, " ").trim();
  return line.length > 300 ? line.slice(0, 299) + "…" : line;
}

function shown(value: unknown): string {
  if (types.isProxy(value)) return "a Proxy";
  switch (typeof value) {
    case "string":
      return `“${text(() => value)}”`;
    case "object":
      return value === null ? "null" : "an object";
    case "function":
      return "a function";
    case "symbol":
      return "a symbol";
    default:
      return String(value);
  }
}
