/** Where a running design was, innermost first; lines and columns from 1, as JavaScript counts lines. */
export interface WatchedFrame {
  file: string;
  line: number;
  column: number;
}

/** The host's words to the watch, one a line. */
export type WatchCommand = "busy" | "idle" | "where";

/**
 * The watch's words to the host, one JSON a line. `frames` is null where this host does not let a
 * running program be looked into, or where it did not stop to be looked at.
 */
export type WatchReport =
  | { type: "where"; frames: WatchedFrame[] | null }
  /** More memory than is allowed. */
  | { type: "memory"; rssMB: number; frames: WatchedFrame[] | null }
  /** Much memory, still allowed: the last that may be heard before the process falls. */
  | { type: "rising"; rssMB: number; frames: WatchedFrame[] | null };

/** The pipe between host and watch, among the child's open files. */
export const WATCH_FD = 4;
