/**
 * Lengths that were typed one by one, as the table that the engine reads: columns wet and fired,
 * semicolons between, so that a decimal comma is understood.
 */
export function barsTable(wet: string, fired: readonly string[]): string {
  return ["wet;fired", ...fired.map((one) => `${wet.trim()};${one.trim()}`)].join("\n") + "\n";
}

/**
 * A table of bars that was pasted into a box of one line, which makes blanks of its line breaks;
 * undefined for anything else. Its first words name the columns.
 */
export function pastedBars(text: string): string | undefined {
  const lines = text.trim().split(/\r\n|\n|\r/);
  if (!/^"?(wet|dry|fired)\b/i.test(lines[0])) return undefined;
  if (lines.length > 1) return lines.join("\n") + "\n";
  const heading = /^(?:"?\s*(?:wet|dry|fired)\s*"?\s*[,;\t]\s*)*"?(?:wet|dry|fired)"?/i.exec(lines[0]);
  if (!heading) return undefined;
  const rows = lines[0].slice(heading[0].length).trim();
  return rows === "" ? undefined : `${heading[0]}\n${rows.split(/ +/).join("\n")}\n`;
}
