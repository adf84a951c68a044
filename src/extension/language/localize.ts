import { l10n } from "vscode";
import type { LocatedFinding, MessageArgs, Problem } from "../../../shared/finding.ts";
import { messages } from "../../../shared/messages.ts";
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
      fixes: finding.fixes.map((fix) => ({ ...fix, title: sentence(fix.code, fix.args, fix.title) })),
    })),
    ...(problem && {
      problem: { ...problem, message: sentence(problem.code, problem.args, problem.message) },
    }),
  };
}

const templateOf = ({ code, variant }: LocatedFinding) =>
  variant === undefined ? code : `${code}-${variant}`;

/** The template of `code`, filled in; the English sentence where it has none or nothing to fill it with. */
function sentence(code: string, args: MessageArgs | undefined, english: string): string {
  return args !== undefined && Object.hasOwn(templates, code) ? l10n.t(templates[code], args) : english;
}
