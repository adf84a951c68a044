import * as vscode from "vscode";
import type { LocatedFinding, LocatedNote, Problem } from "../../../shared/finding.ts";
import type { Place } from "../../../shared/place.ts";
import { helpTarget } from "../help.ts";

const mostInFile = 50;

export function rangeOf(place: Place): vscode.Range {
  return new vscode.Range(
    Math.max(0, place.line - 1),
    Math.max(0, place.column - 1),
    Math.max(0, place.endLine - 1),
    Math.max(0, place.endColumn - 1),
  );
}

/** The code of a finding or problem that a diagnostic of ours tells. */
export function codeOf({ code }: vscode.Diagnostic): string {
  return String(typeof code === "object" ? code.value : code);
}

const severities = {
  error: vscode.DiagnosticSeverity.Error,
  warning: vscode.DiagnosticSeverity.Warning,
  info: vscode.DiagnosticSeverity.Hint,
} as const;

/** The underlined findings of one design. Two designs that share a file do not erase each other's. */
export class DesignDiagnostics implements vscode.Disposable {
  readonly #collection: vscode.DiagnosticCollection;

  constructor(design: vscode.Uri) {
    this.#collection = vscode.languages.createDiagnosticCollection(`slabwright ${design.toString()}`);
  }

  /** Puts these in place of all that the design had before, in whatever files. */
  publish(
    findings: LocatedFinding[],
    problem: Problem | undefined,
    toUri: (file: string) => vscode.Uri,
  ): void {
    const files = new Map<string, { uri: vscode.Uri; list: vscode.Diagnostic[] }>();
    const add = (place: Place, make: (range: vscode.Range) => vscode.Diagnostic) => {
      const uri = toUri(place.file);
      const entry = files.get(uri.toString()) ?? { uri, list: [] };
      files.set(uri.toString(), entry);
      entry.list.push(make(rangeOf(place)));
    };
    if (problem) {
      add(problem.place, (range) =>
        diagnostic(range, problem.message, "error", problem.code, relatedTo(problem), toUri),
      );
    }
    for (const finding of findings) {
      add(finding.place, (range) =>
        diagnostic(range, finding.message, finding.severity, finding.code, relatedTo(finding), toUri),
      );
    }
    this.#collection.clear();
    for (const { uri, list } of files.values()) {
      if (list.length > mostInFile) {
        const rest = list.splice(mostInFile);
        list.push(
          diagnostic(
            rest[0].range,
            vscode.l10n.t("{0} more findings in this file; the preview lists them all.", rest.length),
            "info",
            "more",
            [],
            toUri,
          ),
        );
      }
      this.#collection.set(uri, list);
    }
  }

  dispose(): void {
    this.#collection.dispose();
  }
}

type Related = Pick<LocatedNote, "place" | "message">;

/** The maker's own line where the place lies in a helper, and what else has to do with it. */
function relatedTo({ related, notes }: { related?: Place; notes?: LocatedNote[] }): Related[] {
  const calledFrom = related ? [{ place: related, message: vscode.l10n.t("called from here") }] : [];
  return [...calledFrom, ...(notes ?? [])];
}

function diagnostic(
  range: vscode.Range,
  message: string,
  severity: keyof typeof severities,
  code: string,
  related: readonly Related[],
  toUri: (file: string) => vscode.Uri,
): vscode.Diagnostic {
  const made = new vscode.Diagnostic(range, message, severities[severity]);
  made.source = "slabwright";
  const target = helpTarget(code);
  made.code = target ? { value: code, target } : code;
  if (related.length > 0) {
    made.relatedInformation = related.map(
      ({ place, message }) =>
        new vscode.DiagnosticRelatedInformation(
          new vscode.Location(toUri(place.file), rangeOf(place)),
          message,
        ),
    );
  }
  return made;
}
