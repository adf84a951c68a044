/** Where something stands in a maker's file. Lines and columns count from 1, columns in UTF-16 units, the end exclusive. */
export interface Place {
  /** Absolute path. */
  file: string;
  line: number;
  column: number;
  endLine: number;
  endColumn: number;
}

/**
 * A kit call of one evaluation: an index into that evaluation's call table, or -1 for a value
 * that was made outside any evaluation (in our own unit tests, or by the kit itself).
 */
export type CallId = number;

/** What a message speaks of: a call, one of its arguments (from 0), or an option inside that argument. */
export interface Target {
  call: CallId;
  argument?: number;
  /** Keys from the argument inwards, such as `["flange", "width"]`. */
  path?: string[];
  /** The last key itself is meant and not its value. */
  ofKey?: boolean;
}
