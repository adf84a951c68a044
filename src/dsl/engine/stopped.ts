import { readFileSync } from "node:fs";
import type { EngineRequest } from "../../../shared/engine.ts";
import type { MessageArgs, Problem } from "../../../shared/finding.ts";
import { renderTemplate } from "../../../shared/messages.ts";
import type { Place } from "../../../shared/place.ts";
import { problemMessages, type ProblemCode } from "../../../shared/problems.ts";
import { Lines } from "../source/lines.ts";
import type { WatchedFrame } from "./watch-messages.ts";

/** A request that runs a design. */
type Job = Exclude<EngineRequest, { type: "cancel" } | { type: "measure" }>;

/**
 * The message for a design that was stopped from outside, on the line where it was; where that is
 * not known, on the design's export. `files` are those of the design.
 */
export function stoppedProblem(
  code: "time-limit" | "memory-limit",
  args: MessageArgs,
  request: Job,
  files: readonly string[],
  frames: readonly WatchedFrame[] | null,
): Problem {
  const frame = frames?.find((one) => files.includes(one.file));
  const key: ProblemCode = frame ? code : `${code}-unknown`;
  const place = frame ? linePlace(request, frame) : exportPlace(request);
  return { code, args, message: renderTemplate(problemMessages[key], args), place };
}

function linePlace(request: Job, { file, line, column }: WatchedFrame): Place {
  const text = textOf(request, file);
  if (text === undefined) return { file, line, column, endLine: line, endColumn: column };
  const offset = new Lines(text, "javascript").offset(line, 1);
  return rangePlace(file, text, offset);
}

function exportPlace(request: Job): Place {
  const file = request.entry;
  const text = textOf(request, file) ?? "";
  return rangePlace(file, text, Math.max(0, /^export\s+default\b/m.exec(text)?.index ?? 0));
}

/** The written part of the line that begins at `offset`. */
function rangePlace(file: string, text: string, offset: number): Place {
  const line = /^[^\n\r]*/.exec(text.slice(offset))?.[0] ?? "";
  const start = offset + (line.length - line.trimStart().length);
  const from = new Lines(text).position(start);
  const endColumn = from.column + line.trim().length;
  return { file, ...from, endLine: from.line, endColumn };
}

function textOf(request: Job, file: string): string | undefined {
  if (request.type !== "export" && Object.hasOwn(request.overlays, file)) return request.overlays[file];
  try {
    return readFileSync(file, "utf8").replace(/^\uFEFF/, "");
  } catch {
    return undefined;
  }
}
