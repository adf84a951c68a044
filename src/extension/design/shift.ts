import type { Place } from "../../../shared/place.ts";

/** One edit as the editor reports it: lines and columns from 0 before the edit, and the new text. */
export interface LineEdit {
  start: { line: number; character: number };
  end: { line: number; character: number };
  text: string;
}

/**
 * Where a place lies after an edit. What the edit touches only at its border stays as it was; a
 * place inside replaced text shrinks to the end of the new text.
 */
export function shiftPlace(place: Place, edit: LineEdit): Place {
  const [line, column] = shiftPoint(place.line, place.column, edit);
  const [endLine, endColumn] = shiftPoint(place.endLine, place.endColumn, edit);
  return { ...place, line, column, endLine, endColumn };
}

/** The same for one point, lines and columns from 1. */
function shiftPoint(line: number, column: number, { start, end, text }: LineEdit): [number, number] {
  const before = (l: number, c: number, at: { line: number; character: number }) =>
    l < at.line + 1 || (l === at.line + 1 && c <= at.character + 1);
  if (before(line, column, start)) return [line, column];
  const added = text.split(/\r\n|\r|\n/);
  const last = added[added.length - 1].length;
  const newLine = start.line + added.length;
  const newColumn = (added.length === 1 ? start.character : 0) + last + 1;
  if (before(line, column, end)) return [newLine, newColumn];
  if (line === end.line + 1) return [newLine, newColumn + column - 1 - end.character];
  return [line - (end.line + 1) + newLine, column];
}
