import { Session, type Runtime } from "node:inspector";
import { fileURLToPath } from "node:url";
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
    // Without a stack there is still the place of the throw itself.
    const { url = "", lineNumber = 0, columnNumber = 0 } = details ?? {};
    const frames = [...(details?.stackTrace?.callFrames ?? []), { url, lineNumber, columnNumber }];
    return frames.flatMap(({ url, lineNumber, columnNumber }) => {
      const file = url.startsWith("file:") ? fileURLToPath(url) : url;
      const lines = linesOf(file);
      // One line of ours comes first in what was compiled.
      return lines ? [{ file, position: lines.offset(lineNumber + 2, columnNumber + 1) }] : [];
    });
  } finally {
    delete holder[HOOK];
    session.disconnect();
  }
}
