import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { fileName } from "../output/names.ts";
import type { Command } from "./command.ts";
import { DESIGN_ENDING } from "./design-file.ts";
import { shownPath } from "./report.ts";
import type { Terminal } from "./terminal.ts";
import { UsageError } from "./usage.ts";

const DEFAULT_TEMPLATE = "octagon-beaker";

/** Writes a design to begin with; gives the exit status. A file that is already there is left alone. */
export function runNew(
  command: Extract<Command, { kind: "new" }>,
  examples: string,
  terminal: Terminal,
): number {
  const template = templateText(command.from ?? DEFAULT_TEMPLATE, examples);
  const path = resolve(terminal.cwd, command.name.replace(/(\.mold)?(\.ts)?$/, "") + DESIGN_ENDING);
  const name = basename(path, DESIGN_ENDING);
  const folder = dirname(path);
  if (name !== fileName(name, "")) {
    throw new UsageError(`“${name}” cannot be the name of a design: use letters, digits, - and _.`);
  }
  if (!existsSync(folder) || !statSync(folder).isDirectory()) {
    throw new UsageError(`There is no folder ${shownPath(folder, terminal.cwd)}.`);
  }
  const shown = shownPath(path, terminal.cwd);
  try {
    writeFileSync(path, template, { flag: "wx" });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
    terminal.err(`${shown} is already there and was left alone.\n`);
    return 1;
  }
  terminal.out(`${shown}\n`);
  return 0;
}

function templateText(name: string, examples: string): string {
  const names = readdirSync(examples)
    .filter((file) => file.endsWith(DESIGN_ENDING))
    .map((file) => basename(file, DESIGN_ENDING))
    .sort();
  if (!names.includes(name)) {
    throw new UsageError(`There is no template “${name}”. Allowed: ${names.join(", ")}.`);
  }
  return readFileSync(join(examples, name + DESIGN_ENDING), "utf8");
}
