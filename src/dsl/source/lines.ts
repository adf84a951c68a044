/**
 * Offsets ↔ lines and columns, both counted from 1, columns in UTF-16 units. An editor breaks
 * lines at `\n`, `\r\n` and `\r`; JavaScript breaks them at U+2028 and U+2029 too.
 */
export class Lines {
  readonly #starts: number[] = [0];

  constructor(text: string, breaks: "editor" | "javascript" = "editor") {
    const separator = breaks === "editor" ? /\r\n|\n|\r/g : /\r\n|[\n\r\u2028\u2029]/g;
    for (const match of text.matchAll(separator)) this.#starts.push(match.index + match[0].length);
  }

  position(offset: number): { line: number; column: number } {
    let low = 0;
    let high = this.#starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.#starts[middle] <= offset) low = middle;
      else high = middle - 1;
    }
    return { line: low + 1, column: offset - this.#starts[low] + 1 };
  }

  /** A line beyond the text gives the start of the nearest line. */
  offset(line: number, column: number): number {
    const index = Math.min(Math.max(line, 1), this.#starts.length) - 1;
    return this.#starts[index] + Math.max(column, 1) - 1;
  }
}
