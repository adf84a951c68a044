import { describe, expect, test } from "vitest";
import { shiftPlace } from "../../../src/extension/design/shift.ts";

/** The text of a place, and the place of a text; lines and columns from 1. */
function placeOf(text: string, word: string) {
  const offset = text.indexOf(word);
  const point = (at: number) => {
    const before = text.slice(0, at).split(/\r\n|\r|\n/);
    return { line: before.length, column: before[before.length - 1].length + 1 };
  };
  const start = point(offset);
  const end = point(offset + word.length);
  return { file: "f", ...start, endLine: end.line, endColumn: end.column };
}

/** Applies an edit given by offsets and reports it as the editor does. */
function edited(text: string, from: number, to: number, inserted: string) {
  const point = (at: number) => {
    const before = text.slice(0, at).split(/\r\n|\r|\n/);
    return { line: before.length - 1, character: before[before.length - 1].length };
  };
  return {
    text: text.slice(0, from) + inserted + text.slice(to),
    edit: { start: point(from), end: point(to), text: inserted },
  };
}

const text = "import x;\nconst a = loft([b, c]);\nexport default mold(a, { slab: 6 });\n";

describe("a place stays on its words when the text around them changes", () => {
  const edits: [string, number, number, string][] = [
    ["a line above", 0, 0, "// new\n"],
    ["two lines above with CRLF", 0, 0, "// new\r\n// newer\r\n"],
    ["a line above taken away", 0, 10, ""],
    ["words before it on its line", text.indexOf("mold"), text.indexOf("mold"), "// "],
    ["words before it on its line exchanged", text.indexOf("mold"), text.indexOf("mold") + 4, "longer"],
    ["lines joined before it", text.indexOf("\nexport"), text.indexOf("\nexport") + 1, " "],
    ["a line broken before it", text.indexOf("mold(") + 5, text.indexOf("mold(") + 5, "\n  "],
    ["words after it", text.length - 1, text.length - 1, " // end"],
    ["lines before it exchanged for one", 0, text.indexOf("export"), "short; "],
  ];
  test.each(edits)("%s", (_, from, to, inserted) => {
    const place = placeOf(text, "a, { slab");
    const { text: after, edit } = edited(text, from, to, inserted);
    expect(shiftPlace(place, edit)).toEqual(placeOf(after, "a, { slab"));
  });

  test("a place inside text that was exchanged shrinks to the end of the new text", () => {
    const from = text.indexOf("{ slab");
    const { edit, text: after } = edited(text, from, from + "{ slab: 6 }".length, "opts");
    const end = placeOf(after, ");\n");
    const second = after.lastIndexOf(");");
    const at = placeOf(after.slice(0, second) + "@", "@");
    expect(end.line).toBeLessThanOrEqual(at.line);
    expect(shiftPlace(placeOf(text, "6"), edit)).toEqual({
      file: "f",
      line: at.line,
      column: at.column,
      endLine: at.line,
      endColumn: at.column,
    });
  });
});
