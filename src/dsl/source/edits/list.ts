import { skipTrivia } from "../tree.ts";
import { indentAt, type Style } from "./style.ts";

export interface Replacement {
  start: number;
  end: number;
  text: string;
}

interface Range {
  start: number;
  end: number;
}

/**
 * Puts `item` into a list in braces the way the list is written: one line or one item a line,
 * with a trailing comma where the list has one. `index` is the place in the list, its length for
 * the end. `open` is the offset of the opening brace.
 */
export function insertItem(
  text: string,
  open: number,
  items: readonly Range[],
  index: number,
  item: string,
  style: Style,
): Replacement[] {
  const add = (at: number, added: string): Replacement => ({ start: at, end: at, text: added });
  if (items.length === 0) {
    const inside = /^\s*\}/.exec(text.slice(open + 1));
    if (!inside) return [add(open + 1, `${style.braceSpace}${item},`)];
    const blanks = inside[0].slice(0, -1);
    if (!/[\n\r]/.test(blanks)) {
      const written = `${style.braceSpace}${item}${style.braceSpace}`;
      return [{ start: open + 1, end: open + 1 + blanks.length, text: written }];
    }
    return [add(open + 1, `${style.lineBreak}${indentAt(text, open)}${style.indent}${item},`)];
  }
  const first = items[0];
  const last = items[items.length - 1];
  const multiLine = /[\n\r]/.test(text.slice(open, first.start)) || /[\n\r]/.test(between(text, items));
  const newLine = style.lineBreak + indentAt(text, last.start);
  if (index < items.length) {
    const at = items[index].start;
    return [add(at, item + "," + (multiLine ? style.lineBreak + indentAt(text, at) : " "))];
  }
  const afterLast = skipTrivia(text, last.end);
  const hasComma = text[afterLast] === ",";
  const end = hasComma ? afterLast + 1 : last.end;
  if (!multiLine) return [add(end, hasComma ? ` ${item},` : `, ${item}`)];
  const comment = /^[ \t]*(?:\/\/[^\n\r]*|\/\*[^\n\r]*?\*\/[ \t]*(?=[\n\r]))/.exec(text.slice(end));
  const lineEnd = end + (comment?.[0].length ?? 0);
  if (hasComma) return [add(lineEnd, `${newLine}${item},`)];
  if (lineEnd === end) return [add(end, `,${newLine}${item}`)];
  return [add(end, ","), add(lineEnd, newLine + item)];
}

function between(text: string, items: readonly Range[]): string {
  return items
    .slice(1)
    .map((item, i) => text.slice(items[i].end, item.start))
    .join("");
}
