import { Session, type Runtime } from "node:inspector";
import type { Lines } from "../source/index.ts";
import type { RunFrame } from "./stack.ts";

const HOOK = Symbol.for("slabwright.run-again");

/**
 * The stack of a throw whose value carries none: a number, a Proxy. The work is run once more
 * under the debugger, which knows where it threw. Empty where this host has no debugger, or
 * where the second run does not throw. `linesOf` gives the lines of what was compiled for a file.
 */
export function whereThrown(work: () => unknown, linesOf: (file: string) => Lines | undefined): RunFrame[] {
  const holder = globalThis as { [HOOK]?: () => unknown };
  const session = new Session();
  try {
    session.connect();
  } catch {
    return [];
  }
  try {
    holder[HOOK] = work;
    session.post("Runtime.enable");
    let details: Runtime.ExceptionDetails | undefined;
    const expression = `globalThis[Symbol.for(${JSON.stringify(HOOK.description)})]()`;
    session.post("Runtime.evaluate", { expression, silent: true }, (_error, answer) => {
      details = answer?.exceptionDetails;
    });
    const frames = details?.stackTrace?.callFrames ?? [];
    return frames.flatMap(({ url, lineNumber, columnNumber }) => {
      const lines = linesOf(url);
      // One line of ours comes first in what was compiled.
      return lines ? [{ file: url, position: lines.offset(lineNumber + 1, columnNumber + 1) }] : [];
    });
  } finally {
    delete holder[HOOK];
    session.disconnect();
  }
}
