import type { Place } from "../../../shared/place.ts";
import type { SourceModule } from "./module.ts";

/** A range of a module's text as lines and columns of an editor. */
export function placeOf(
  file: string,
  module: Pick<SourceModule, "lines">,
  range: { start: number; end: number },
): Place {
  const from = module.lines.position(range.start);
  const to = module.lines.position(range.end);
  return { file, line: from.line, column: from.column, endLine: to.line, endColumn: to.column };
}
