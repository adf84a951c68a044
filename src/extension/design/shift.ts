import type { Place } from "../../../shared/place.ts";

/** One edit as the editor reports it: lines and columns from 0 before the edit, and the new text. */
export interface LineEdit {
  start: { line: number; character: number };
  end: { line: number; character: number };
  text: string;
}

/**
 * Where a place lies after an edit. Text typed at its border stays outside it; a place inside
 * replaced text shrinks to the end of the new text.
 */
export function shiftPlace(place: Place, edit: LineEdit): Place {
  const [line, column] = shiftPoint(place.line, place.column, edit, true);
  const [endLine, endColumn] = shiftPoint(place.endLine, place.endColumn, edit, false);
  const empty = endLine < line || (endLine === line && endColumn < column);
  return empty
    ? { ...place, line, column, endLine: line, endColumn: column }
    : { ...place, line, column, endLine, endColumn };
}

/** The same for one point, lines and columns from 1. `pushed`: text typed right at it goes before it. */
function shiftPoint(
  line: number,
  column: number,
  { start, end, text }: LineEdit,
  pushed: boolean,
): [number, number] {
  const compare = (at: { line: number; character: number }) =>
    line - (at.line + 1) || column - (at.character + 1);
  const toStart = compare(start);
  if (toStart < 0 || (toStart === 0 && !pushed)) return [line, column];
  const added = text.split(/\r\n|\r|\n/);
  const last = added[added.length - 1].length;
  const newLine = start.line + added.length;
  const newColumn = (added.length === 1 ? start.character : 0) + last + 1;
  if (compare(end) < 0) return [newLine, newColumn];
  if (line === end.line + 1) return [newLine, newColumn + column - 1 - end.character];
  return [line - (end.line + 1) + newLine, column];
}
