import type {
  Finding,
  Fix,
  LocatedFinding,
  LocatedFix,
  LocatedNote,
  MessageArgs,
  Note,
} from "../../../shared/finding.ts";
import { messages, renderMessage, type MessageCode } from "../../../shared/messages.ts";
import type { EvaluatedDesign } from "../evaluate/index.ts";

/** Renders a message by its code. */
export type Sentence = (code: string, args: MessageArgs) => string;

export const englishSentence: Sentence = (code, args) => {
  if (!Object.hasOwn(messages, code)) throw new Error(`there is no message “${code}”`);
  return renderMessage(code as MessageCode, args);
};

/**
 * A finding at its place in the texts, with its sentence; `fixes` are those to offer. The template
 * is that of its code, with its variant behind a hyphen: `undercut-shallow`.
 */
export function locateFinding(
  design: EvaluatedDesign,
  finding: Finding,
  fixes: LocatedFix[],
  sentence: Sentence,
): LocatedFinding {
  const { target, notes, ...rest } = finding;
  const code = finding.variant === undefined ? finding.code : `${finding.code}-${finding.variant}`;
  return {
    ...rest,
    message: sentence(code, finding.args),
    ...design.locate(target),
    ...(notes && { notes: notes.map((note) => locateNote(design, note, sentence)).filter(firstOfItsKind) }),
    fixes,
  };
}

function locateNote(design: EvaluatedDesign, { target, code, args }: Note, sentence: Sentence): LocatedNote {
  return { code, args, message: sentence(code, args), place: design.locate(target).place };
}

/** Calls of one place in the text, as in a loop, are told once. */
function firstOfItsKind(note: LocatedNote, i: number, all: readonly LocatedNote[]): boolean {
  const same = (other: LocatedNote) =>
    other.message === note.message && JSON.stringify(other.place) === JSON.stringify(note.place);
  return all.findIndex(same) === i;
}

/** The fixes of a finding, looked for if need be. */
export const fixesOf = ({ fixes = [] }: Finding): readonly Fix[] =>
  typeof fixes === "function" ? fixes() : fixes;

/** Whether there may be fixes, without looking for them. */
export const hasFixes = ({ fixes = [] }: Finding): boolean => typeof fixes === "function" || fixes.length > 0;

/** Those of some fixes that can be written into the texts, not yet tried. */
export function writableFixes(
  design: EvaluatedDesign,
  fixes: readonly Fix[],
  sentence: Sentence,
): LocatedFix[] {
  return fixes.flatMap(({ title, args, change }) => {
    const written = design.editsFor(change);
    return "edits" in written
      ? [{ title: sentence(title, args), code: title, args, edits: written.edits }]
      : [];
  });
}
