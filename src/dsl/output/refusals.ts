import type { ExportFormat } from "../../../shared/engine.ts";
import type { LocatedFinding, Problem } from "../../../shared/finding.ts";
import type { Occupant } from "./folder.ts";
import { writableFormats } from "./writers.ts";

/** Why an export writes nothing, for the maker to put right; the place is the design's file. */
export type Refusal = Pick<Problem, "code" | "message">;

export function formatRefusal(missing: readonly ExportFormat[]): Refusal {
  return {
    code: "format-not-yet",
    message: `This version of Slabwright does not write ${missing.join(", ")} yet. It writes ${writableFormats.join(" and ")}.`,
  };
}

export function occupiedRefusal(
  target: string,
  { reason, files }: Extract<Occupant, { kind: "maker" }>,
): Refusal {
  const some = files.slice(0, 3).join(", ") + (files.length > 3 ? ` and ${files.length - 3} more` : "");
  const what = {
    "not-folder": `There is already something at ${target} that is not a folder.`,
    "no-manifest": `${target} holds files that no export of Slabwright wrote: ${some}.`,
    added: `${target} holds files of your own: ${some}.`,
    changed: `Files in ${target} have been changed since they were exported: ${some}.`,
  }[reason];
  return {
    code: "folder-not-ours",
    message: `${what} Nothing was written: move them, or export into another folder.`,
  };
}

const DISK_FAULTS: Record<string, string> = {
  EACCES: "you may not write there",
  EPERM: "you may not write there",
  EROFS: "the disk cannot be written",
  ENOTDIR: "part of that path is a file",
  EEXIST: "part of that path is a file",
  ENAMETOOLONG: "the path is too long",
  ENOSPC: "the disk is full",
  EDQUOT: "the disk is full",
};

/** The refusal for a disk that does not take the files, or null where something else went wrong. */
export function diskRefusal(target: string, error: unknown): Refusal | null {
  const { code, syscall } = error as NodeJS.ErrnoException;
  const reason = syscall === undefined || code === undefined ? undefined : DISK_FAULTS[code];
  if (reason === undefined) return null;
  return {
    code: "folder-unwritable",
    message: `${target} cannot be written: ${reason}. Export into another folder.`,
  };
}

/** The result of an export that wrote nothing. */
export function refused(refusal: Refusal, source: string, findings: readonly LocatedFinding[]) {
  const place = { file: source, line: 1, column: 1, endLine: 1, endColumn: 1 };
  return { problem: { ...refusal, place }, findings: [...findings], files: [], parts: [] };
}
