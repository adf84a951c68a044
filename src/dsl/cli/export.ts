import { resolve } from "node:path";
import type { Command } from "./command.ts";
import { findDesign } from "./design-file.ts";
import type { Engine } from "./engine.ts";
import {
  findingCount,
  findingJson,
  findingLines,
  hasErrors,
  problemJson,
  problemLines,
  shownPath,
} from "./report.ts";
import { partTable } from "./table.ts";
import { progressOn, type Terminal } from "./terminal.ts";

/** Exports a design; gives the exit status. */
export async function runExport(
  command: Extract<Command, { kind: "export" }>,
  engine: (timeLimitS: number) => Engine,
  terminal: Terminal,
  signal: AbortSignal,
): Promise<number> {
  const { cwd } = terminal;
  const { entry, root } = findDesign(command.file, cwd);
  const progress = progressOn(terminal);
  const result = await engine(command.timeLimitS)
    .exportDesign(
      {
        entry,
        root,
        out: resolve(cwd, command.out),
        formats: command.formats,
        allowErrors: command.allowErrors,
      },
      { signal, onProgress: (done, total, what) => progress.show(done, total, what) },
    )
    .finally(() => progress.end());

  const { problem, findings, folder, files, parts } = result;
  for (const finding of findings) for (const line of findingLines(finding, cwd)) terminal.err(line + "\n");
  if (problem) for (const line of problemLines(problem, cwd)) terminal.err(line + "\n");

  if (command.json) {
    const json = {
      folder: folder === undefined ? null : shownPath(folder, cwd),
      files,
      parts,
      findings: findings.map((finding) => findingJson(finding, cwd)),
      ...(problem && { problem: problemJson(problem, cwd) }),
    };
    terminal.out(JSON.stringify(json, null, 2) + "\n");
  } else if (terminal.outIsTerminal) {
    if (folder !== undefined) {
      terminal.out(
        `${partTable(parts)}\n\n${findingCount(findings)} · ${files.length + 1} files in ${shownPath(folder, cwd)}\n`,
      );
    } else if (!problem) {
      terminal.out(`${findingCount(findings)}: nothing was written. --allow-errors writes all the same.\n`);
    }
  }
  return problem || hasErrors(findings) ? 1 : 0;
}
