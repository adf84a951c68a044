import type { Problem } from "../../../shared/finding.ts";
import { withRecorder } from "../kit/record.ts";
import { Lines, type SourceModule } from "../source/index.ts";
import { readBeside } from "./beside.ts";
import { CallTable, EvaluatedDesign } from "./design.ts";
import { resolveLinks, SourceFiles } from "./files.ts";
import { LoadError, loadGraph, type Graph, type LoadedModule, type ParsedTexts } from "./graph.ts";
import type { Packages } from "./packages.ts";
import { loadProblem, problem, thrownProblem } from "./problem.ts";
import { createRealm, LogLines } from "./realm.ts";
import { CallRecorder } from "./recorder.ts";
import { runModules } from "./run.ts";
import { snapshotExport } from "./snapshot.ts";
import { readWorkshop } from "./workshop.ts";
import { withErrorFrames } from "./stack.ts";
import { whereThrown } from "./where-thrown.ts";

export interface EvaluateRequest {
  /** Absolute path of the design. */
  entry: string;
  /** The folder that imports may not leave. */
  root: string;
  /** Unsaved texts by absolute path; they win over the disk. */
  overlays?: Readonly<Record<string, string>>;
  /** `param` values by name that win over the code. */
  overrides?: Readonly<Record<string, number>>;
  packages: Packages;
  /** Hears what the design writes with `console`: 200 lines, then how many more. */
  log?: (line: string) => void;
  /** Told once the texts are read, just before the maker's code begins. */
  onRun?: (files: readonly string[]) => void;
  /** Kept between evaluations by the caller; unchanged texts are not parsed again. */
  parsed?: ParsedTexts;
}

/** `files` are the paths that took part or were looked for, whether or not there is a design. */
export type Evaluation = { files: string[] } & (
  { design: EvaluatedDesign; problem?: undefined } | { problem: Problem; design?: undefined }
);

/**
 * Runs a design and gives what it exports with the places of its kit calls, or the one problem
 * that kept it from ending. Synchronous: a loop without end does not return.
 */
export function evaluate(request: EvaluateRequest): Evaluation {
  const {
    entry,
    root,
    overlays = {},
    overrides = {},
    packages,
    parsed = new Map<string, SourceModule>(),
  } = request;
  const seen = new Set<string>();
  const files = () => [...seen];
  const sources = new SourceFiles(root, overlays);
  let graph: Graph;
  try {
    const location = { file: entry, real: resolveLinks(entry) };
    graph = loadGraph(sources, location, parsed, seen);
  } catch (error) {
    if (error instanceof LoadError) return { problem: loadProblem(error), files: files() };
    throw error;
  }

  const kept = readWorkshop(sources, entry, seen);
  if ("problem" in kept) return { problem: kept.problem, files: files() };

  const modules = new Map<string, LoadedModule>(graph.order.map((one) => [one.file, one]));
  const recorder: CallRecorder = new CallRecorder(
    (file) => modules.has(file),
    overrides,
    (call) => calls.locate({ call }).place.line,
    (file, path) => readBeside(sources, file, path, seen),
    kept.workshop,
  );
  const calls: CallTable = new CallTable(graph.entry, modules, recorder.calls);
  const lines = new LogLines(request.log ?? (() => undefined));
  const run = (log: (line: string) => void) => runModules(graph.order, packages, createRealm(log));
  const runAgain = () =>
    whereThrown(
      () => snapshotExport(run(() => undefined).default, proxyExport),
      (file) => {
        const module = modules.get(file);
        return module && new Lines(module.source.runnable.body, "javascript");
      },
    );

  const proxyExport = () => {
    const { file, source } = graph.entry;
    return new LoadError("export-proxy", {}, file, source.lines, source.defaultRange());
  };

  request.onRun?.(files());
  return withErrorFrames((): Evaluation => {
    try {
      const value = withRecorder(recorder, () => {
        const exports = run((line) => lines.add(line));
        return snapshotExport(exports.default, proxyExport);
      });
      if (value === undefined)
        return { problem: problem("no-default", {}, { place: calls.defaultPlace() }), files: files() };
      const { params, madeOf } = recorder;
      const settings = kept.workshop.file === null ? null : { file: kept.workshop.file, text: kept.text };
      const ran = { value, calls, madeOf, params, files: files(), settings };
      return { design: new EvaluatedDesign(graph.entry, modules, ran), files: files() };
    } catch (error) {
      if (error instanceof LoadError) return { problem: loadProblem(error), files: files() };
      return { problem: thrownProblem(error, calls, runAgain), files: files() };
    } finally {
      lines.close();
      // Promises of the design may still write when this is over.
      setImmediate(() => lines.close());
    }
  });
}
