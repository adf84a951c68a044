#!/usr/bin/env node
import { existsSync } from "node:fs";
import { join } from "node:path";
import { EngineHost } from "../engine/host.ts";
import { run } from "./run.ts";

const here = import.meta.dirname;
const interrupt = new AbortController();
let host: EngineHost | undefined;

process.once("SIGINT", () => {
  interrupt.abort();
  host?.dispose();
  process.exit(130);
});

const engine = (timeLimitS: number) =>
  (host = new EngineHost({
    enginePath: join(here, "engine.mjs"),
    standby: false,
    timeLimitS,
    onLog: (lines) => lines.forEach((line) => process.stderr.write(line + "\n")),
  }));

/** The examples lie beside `dist/`, and three folders above this file in the source. */
function examples(): string {
  const folder = ["../examples", "../../../examples"]
    .map((path) => join(here, path))
    .find((path) => existsSync(path));
  if (folder === undefined) throw new Error("the examples are missing from this installation");
  return folder;
}

try {
  process.exitCode = await run(process.argv.slice(2), {
    terminal: {
      cwd: process.cwd(),
      out: (text) => process.stdout.write(text),
      err: (text) => process.stderr.write(text),
      outIsTerminal: process.stdout.isTTY,
      errIsTerminal: process.stderr.isTTY,
    },
    engine,
    examples,
    signal: interrupt.signal,
  });
} catch (error) {
  // Our own fault: what a design does wrong comes back as a problem.
  const { message, stack } = error instanceof Error ? error : new Error(String(error));
  process.stderr.write(
    `slabwright: something failed that is not the design's fault: ${message}\n${stack ?? ""}\n`,
  );
  process.exitCode = 1;
} finally {
  host?.dispose();
}
