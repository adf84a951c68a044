import { KIT } from "../output/version.ts";
import { runCheck } from "./check.ts";
import { runClay } from "./clay.ts";
import { parseCommand } from "./command.ts";
import type { Engine } from "./engine.ts";
import { runExport } from "./export.ts";
import { runNew } from "./new.ts";
import type { Terminal } from "./terminal.ts";
import { USAGE, UsageError } from "./usage.ts";

export interface Surroundings {
  terminal: Terminal;
  /** Starts the engine process; asked for only by commands that evaluate a design. */
  engine: (timeLimitS: number) => Engine;
  /** Folder of the designs that `new` begins with. */
  examples: () => string;
  /** Ends an export early. */
  signal: AbortSignal;
}

/** Does what the words ask for; gives the exit status: 0 done, 1 errors in the design, 2 wrong usage. */
export async function run(words: readonly string[], surroundings: Surroundings): Promise<number> {
  const { terminal, engine, examples, signal } = surroundings;
  try {
    const command = parseCommand(words);
    switch (command.kind) {
      case "help":
        terminal.out(USAGE);
        return 0;
      case "version":
        terminal.out(`${KIT}\n`);
        return 0;
      case "export":
        return await runExport(command, engine, terminal, signal);
      case "check":
        return await runCheck(command, engine, terminal);
      case "clay":
        return runClay(command, terminal);
      case "new":
        return runNew(command, examples(), terminal);
    }
  } catch (error) {
    if (!(error instanceof UsageError)) throw error;
    terminal.err(`slabwright: ${error.message}\nslabwright --help shows the commands.\n`);
    return 2;
  }
}
