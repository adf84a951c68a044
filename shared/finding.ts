import type { Change, TextEdit } from "./change.ts";
import type { Place, Target } from "./place.ts";

export type Severity = "error" | "warning" | "info";

export const findingCodes = [
  "shrink-missing",
  "shrink-twice",
  "shrink-later",
  "undercut",
  "part-locked",
  "draft-low",
  "wall-thin",
  "key-no-room",
  "key-locked",
  "body-open",
  "body-crossing",
  "rim-uneven",
  "clay-grips",
  "slab-crowded",
  "corner-sharp",
  "reach-narrow",
  "seam-unreachable",
  "overhang",
  "bed-overflow",
  "seams-flat",
] as const;
export type FindingCode = (typeof findingCodes)[number];

/** Values that fill a message template. Numbers arrive already rounded for reading. */
export type MessageArgs = Record<string, string | number>;

export interface Fix {
  /** Template code in `messages.ts`, with its values. */
  title: string;
  args: MessageArgs;
  change: Change;
  /** Offered only where no fix before it does what it says. */
  lastResort?: true;
  /**
   * How much of the finding it is expected to leave, in a measure of its own: of two the less is better. With it the
   * fix is offered only where no other makes the finding go.
   */
  leaves?: number;
  /** What fills the title, by what was found before and with the fix made; null where that is hardly less. Default `args`. */
  told?: (before: readonly Finding[], after: readonly Finding[]) => MessageArgs | null;
}

/** What a check gives: pure, without text and without places in files. */
export interface Finding {
  code: FindingCode;
  severity: Severity;
  /** Variant of the message where a code has several, such as `shallow`. */
  variant?: string;
  args: MessageArgs;
  target: Target;
  mold?: string;
  part?: string;
  value?: number;
  limit?: number;
  unit?: string;
  /** The worst place, mold frame, mm. */
  at?: [number, number, number];
  /** Up to 20 places, the worst first; absent where `at` says it all. */
  places?: [number, number, number][];
  /** What else in the design has to do with it, by place of the mold, the worst first. */
  notes?: Note[];
  /** Or how they are looked for, where that takes time. */
  fixes?: readonly Fix[] | (() => readonly Fix[]);
}

/** What a call has to do with a finding. */
export interface Note {
  target: Target;
  /** Template code in `messages.ts`, with its values. */
  code: string;
  args: MessageArgs;
}

export interface LocatedNote extends Omit<Note, "target"> {
  /** In English. */
  message: string;
  place: Place;
}

/** A finding at its place in the maker's files, with its sentence in English. */
export interface LocatedFinding extends Omit<Finding, "target" | "fixes" | "notes"> {
  message: string;
  place: Place;
  /** The maker's own line when `place` lies in a helper. */
  related?: Place;
  notes?: LocatedNote[];
  fixes: LocatedFix[];
}

export interface LocatedFix {
  /** In English; `code` names its template and `args` fill it. */
  title: string;
  code: string;
  args: MessageArgs;
  /** Absent while the fix has not been tried. */
  edits: TextEdit[];
  /** With it the finding is smaller by what the title says, and still there. */
  lessens?: true;
}

/** An evaluation that ended without a design. */
export interface Problem {
  /** A code of `problems.ts`, or the code of a KitError. */
  code: string;
  /** What fills the template of the code. */
  args?: MessageArgs;
  message: string;
  place: Place;
  related?: Place;
}
