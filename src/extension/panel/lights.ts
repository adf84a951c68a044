import type { CallView } from "../../../shared/engine.ts";
import type { Place } from "../../../shared/place.ts";

/**
 * Calls whose faces light up for a cursor: those of the innermost call that holds it. In a helper
 * that was called several times, or at a call of a helper, that is everything made there. Lines and
 * columns count from 1.
 */
export function lightsAt(calls: readonly CallView[], file: string, line: number, column: number): number[] {
  let innermost: Place | undefined;
  for (const place of calls.flatMap(({ chain }) => chain)) {
    if (place.file !== file || !holds(place, line, column)) continue;
    if (!innermost || within(place, innermost)) innermost = place;
  }
  if (!innermost) return [];
  const meant = innermost;
  const lit = calls.filter(({ chain }) => chain.some((place) => same(place, meant)));
  return [...new Set(lit.flatMap(({ lights }) => lights))].sort((a, b) => a - b);
}

/** The end belongs to the call: the cursor stands there once the bracket has been typed. */
function holds(place: Place, line: number, column: number): boolean {
  return (
    !before(line, column, place.line, place.column) && !before(place.endLine, place.endColumn, line, column)
  );
}

function within(inner: Place, outer: Place): boolean {
  return (
    !before(inner.line, inner.column, outer.line, outer.column) &&
    !before(outer.endLine, outer.endColumn, inner.endLine, inner.endColumn)
  );
}

function same(a: Place, b: Place): boolean {
  return a.file === b.file && within(a, b) && within(b, a);
}

function before(line: number, column: number, otherLine: number, otherColumn: number): boolean {
  return line - otherLine < 0 || (line === otherLine && column < otherColumn);
}
