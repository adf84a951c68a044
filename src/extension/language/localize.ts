import { l10n } from "vscode";
import type { LocatedFinding, MessageArgs, Problem } from "../../../shared/finding.ts";
import { messages, renderTemplate } from "../../../shared/messages.ts";
import { problemMessages } from "../../../shared/problems.ts";

/** What has sentences for the maker: a build, or an export. */
interface Spoken {
  findings: LocatedFinding[];
  problem?: Problem;
}

const templates: Record<string, string> = { ...messages, ...problemMessages };

/** The same result with its sentences in the language of the editor. */
export function localized<T extends Spoken>(result: T): T {
  const { problem } = result;
  return {
    ...result,
    findings: result.findings.map((finding) => ({
      ...finding,
      message: sentence(templateOf(finding), finding.args, finding.message),
      ...(finding.notes && {
        notes: finding.notes.map((note) => ({
          ...note,
          message: sentence(note.code, note.args, note.message),
        })),
      }),
      fixes: finding.fixes.map((fix) => ({ ...fix, title: sentence(fix.code, fix.args, fix.title) })),
    })),
    ...(problem && {
      problem: { ...problem, message: sentence(problem.code, problem.args, problem.message) },
    }),
  };
}

const templateOf = ({ code, variant }: LocatedFinding) =>
  variant === undefined ? code : `${code}-${variant}`;

/** The template that gives the English sentence, filled in; that sentence where there is none. */
function sentence(code: string, args: MessageArgs | undefined, english: string): string {
  if (args === undefined) return english;
  const known = [code, `${code}-unknown`].find(
    (one) => Object.hasOwn(templates, one) && renderTemplate(templates[one], args) === english,
  );
  return known === undefined ? english : l10n.t(templates[known], args);
}
