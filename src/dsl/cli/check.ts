import type { Command } from "./command.ts";
import { findDesign } from "./design-file.ts";
import type { Engine } from "./engine.ts";
import { findingCount, findingJson, findingLines, hasErrors, problemJson, problemLines } from "./report.ts";
import type { Terminal } from "./terminal.ts";

/** Says what an export would find; gives the exit status. */
export async function runCheck(
  command: Extract<Command, { kind: "check" }>,
  engine: (timeLimitS: number) => Engine,
  terminal: Terminal,
): Promise<number> {
  const { cwd } = terminal;
  const { entry, root } = findDesign(command.file, cwd);
  const { design, problem, findings } = await engine(command.timeLimitS).build({
    entry,
    root,
    overlays: {},
    overrides: {},
    quality: "export",
    have: [],
    fixes: true,
  });
  for (const finding of findings) for (const line of findingLines(finding, cwd)) terminal.err(line + "\n");
  if (problem) for (const line of problemLines(problem, cwd)) terminal.err(line + "\n");
  if (command.json) {
    const json = {
      design,
      findings: findings.map((finding) => findingJson(finding, cwd)),
      ...(problem && { problem: problemJson(problem, cwd) }),
    };
    terminal.out(JSON.stringify(json, null, 2) + "\n");
  } else if (terminal.outIsTerminal && !problem) {
    terminal.out(`${design}: ${findingCount(findings)}\n`);
  }
  return problem || hasErrors(findings) ? 1 : 0;
}
