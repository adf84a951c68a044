/** Wrong usage of the command line: told in one sentence, exit 2. */
export class UsageError extends Error {
  override readonly name = "UsageError";
}

export const USAGE = `Slabwright makes press molds for slab-built pots out of designs, files named something.mold.ts.

  slabwright export FILE [--out DIR] [--formats LIST] [--allow-errors] [--time-limit S] [--json]
      Writes every file for the printer into DIR/<design>/. DIR is “out” unless said
      otherwise. LIST is separated by commas: stl, 3mf; all of them unless said otherwise.
      With errors in the design nothing is written, unless they are allowed. A design that
      runs for longer than S seconds, 10 unless said otherwise, is stopped.
  slabwright check FILE [--time-limit S] [--json]
      Says what will go wrong at the bench, and writes nothing.
  slabwright clay BARS.csv [--json]
      Turns measured test bars into a clay for a design. The first line of the table names
      its columns: wet, fired and, if measured, dry; one bar a line.
  slabwright new NAME [--from TEMPLATE]
      Writes NAME.mold.ts to begin with, a copy of one of the examples.
  slabwright --help | --version

Errors are written as file:line:column: code: message.
Exit status: 0 done; 1 the design has errors or does not run; 2 wrong usage.
`;
