/**
 * One test bar: the distance between its marks when wet (plastic), dry and fired, all in one unit.
 */
export interface Bar {
  wet: number;
  dry?: number;
  fired: number;
}

/** A table of test bars that cannot be read. `line` counts from 1 in the text given. */
export class BarsError extends Error {
  override readonly name = "BarsError";
  readonly line: number;

  constructor(line: number, reason: string) {
    super(`line ${line}: ${reason}`);
    this.line = line;
  }
}

const COLUMNS = ["wet", "dry", "fired"] as const;
type Column = (typeof COLUMNS)[number];

/** What stands between cells: of the three in use, the one that the heading holds most of. */
function delimiterOf(heading: string): string {
  const count = (mark: string) => heading.split(mark).length - 1;
  return [",", ";", "\t"].reduce((best, mark) => (count(mark) > count(best) ? mark : best));
}

const cells = (line: string, delimiter: string): string[] =>
  line.split(delimiter).map((cell) =>
    cell
      .trim()
      .replace(/^"(.*)"$/, "$1")
      .trim(),
  );

function columnsOf(headings: string[], line: number): Map<Column, number> {
  const columns = new Map<Column, number>();
  headings.forEach((heading, index) => {
    const column = COLUMNS.find((name) => name === heading.toLowerCase());
    if (column === undefined) return;
    if (columns.has(column)) throw new BarsError(line, `there are two columns named ${column}.`);
    columns.set(column, index);
  });
  for (const needed of ["wet", "fired"] as const) {
    if (!columns.has(needed))
      throw new BarsError(
        line,
        `no column is named ${needed}. The first line names the columns: wet, dry, fired.`,
      );
  }
  return columns;
}

function lengthOf(cell: string, column: Column, line: number, decimalComma: boolean): number {
  const text = decimalComma ? cell.replace(",", ".") : cell;
  const value = /^[+]?(\d+\.?\d*|\.\d+)$/.test(text) ? Number(text) : NaN;
  if (!(value > 0))
    throw new BarsError(line, `${column} is “${cell}”; write a length above 0, such as 93.9.`);
  return value;
}

/**
 * Test bars from a table, one bar a line. The first line names the columns: `wet`, `fired` and, if
 * it was measured, `dry`, in any order; other columns are left alone. Cells are parted by comma,
 * semicolon or tab; with the last two a decimal comma is understood. Empty lines and lines that
 * begin with `#` are passed over. A cell that is no length, a bar that grows, or a table without
 * bars throws a `BarsError` with its line.
 */
export function parseBars(csv: string): Bar[] {
  let delimiter = ",";
  let columns: Map<Column, number> | undefined;
  const bars: Bar[] = [];
  const lines = csv.replace(/^\uFEFF/, "").split(/\r\n|\r|\n/);
  lines.forEach((text, index) => {
    const line = index + 1;
    if (text.trim() === "" || text.trimStart().startsWith("#")) return;
    if (columns === undefined) {
      delimiter = delimiterOf(text);
      columns = columnsOf(cells(text, delimiter), line);
      return;
    }
    const row = cells(text, delimiter);
    const cell = (column: Column) => row[columns!.get(column) ?? -1] ?? "";
    const read = (column: Column) => lengthOf(cell(column), column, line, delimiter !== ",");
    const bar: Bar = { wet: read("wet"), fired: read("fired") };
    if (cell("dry") !== "") bar.dry = read("dry");
    const reason = barFault(bar);
    if (reason !== null) throw new BarsError(line, reason);
    bars.push(bar);
  });
  if (columns === undefined)
    throw new BarsError(1, "the table is empty. The first line names the columns: wet, dry, fired.");
  if (bars.length === 0) throw new BarsError(lines.length, "there is no bar below the names of the columns.");
  return bars;
}

/** A rule read to 0.5 mm on a bar of 100 mm: a clay fired low may seem to grow by so much and no more. */
const READING = 0.005;

/** Why these three lengths cannot be one bar that shrinks, or null when they can. */
export function barFault(bar: Bar): string | null {
  const { wet, dry, fired } = bar;
  if (fired > wet) return `the fired length ${fired} is longer than the wet length ${wet}.`;
  if (dry !== undefined && dry > wet) return `the dry length ${dry} is longer than the wet length ${wet}.`;
  if (dry !== undefined && fired > dry * (1 + READING))
    return `the fired length ${fired} is longer than the dry length ${dry}; look whether the two are mixed up.`;
  if (1 - fired / wet >= 0.3)
    return `from ${wet} wet to ${fired} fired is ${((1 - fired / wet) * 100).toFixed(1)} %; no clay shrinks that much.`;
  return null;
}
