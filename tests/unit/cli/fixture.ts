import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import type { BuildResult, ExportResult } from "../../../shared/engine.ts";
import type { LocatedFinding, Problem } from "../../../shared/finding.ts";
import type { Place } from "../../../shared/place.ts";
import type { Engine } from "../../../src/dsl/cli/engine.ts";
import { run } from "../../../src/dsl/cli/run.ts";

/** A folder with `files`, taken away by `using`. */
export function workshop(files: Record<string, string>) {
  const cwd = realpathSync(mkdtempSync(join(tmpdir(), "slabwright-cli-")));
  for (const [path, text] of Object.entries(files)) {
    mkdirSync(dirname(join(cwd, path)), { recursive: true });
    writeFileSync(join(cwd, path), text);
  }
  return { cwd, [Symbol.dispose]: () => rmSync(cwd, { recursive: true, force: true }) };
}

export const place = (file: string, line: number, column: number): Place => ({
  file,
  line,
  column,
  endLine: line,
  endColumn: column + 4,
});

export function finding(file: string, changes: Partial<LocatedFinding> = {}): LocatedFinding {
  return {
    code: "draft-low",
    severity: "warning",
    args: {},
    message: "wall-a leaves with 1° of draft\nnear z 40.",
    place: place(file, 7, 3),
    fixes: [
      {
        title: "Turn the seams",
        code: "fix-seams",
        args: {},
        edits: [{ file, start: 5, end: 6, text: "17" }],
      },
    ],
    ...changes,
  };
}

/** An engine that gives these results and remembers what it was asked. */
export function fakeEngine(results: { build?: Partial<BuildResult>; export?: Partial<ExportResult> }) {
  const asked: { build: unknown[]; export: unknown[] } = { build: [], export: [] };
  const engine: Engine = {
    build: (request) => {
      asked.build.push(request);
      return Promise.resolve({
        design: "mug",
        files: [],
        molds: [],
        findings: [],
        params: [],
        calls: [],
        timings: {},
        ...results.build,
      });
    },
    exportDesign: (request, { onProgress } = {}) => {
      asked.export.push(request);
      onProgress?.(1, 4, "mug: stl");
      return Promise.resolve({ findings: [], files: [], parts: [], ...results.export });
    },
  };
  return { engine, asked };
}

export const problem = (file: string): Problem => ({
  code: "thrown",
  message: "the glaze is not dry",
  place: place(file, 2, 9),
  related: place(file, 11, 1),
});

/** Runs the command line and gives what it wrote. */
export async function slabwright(
  words: string[],
  options: {
    cwd: string;
    /** Without one, asking for it throws. */ engine?: Engine;
    terminal?: boolean;
    examples?: string;
  },
) {
  let out = "";
  let err = "";
  const status = await run(words, {
    terminal: {
      cwd: options.cwd,
      out: (text) => (out += text),
      err: (text) => (err += text),
      outIsTerminal: options.terminal ?? false,
      errIsTerminal: options.terminal ?? false,
    },
    engine: () => {
      if (!options.engine) throw new Error("this command needs no engine");
      return options.engine;
    },
    examples: () => options.examples ?? "",
    signal: new AbortController().signal,
  });
  return { status, out, err };
}
