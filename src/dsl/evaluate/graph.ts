import { basename } from "node:path";
import { getNodeValue, parseTree, printParseErrorCode, type ParseError } from "jsonc-parser";
import type { MessageArgs } from "../../../shared/finding.ts";
import type { ProblemCode } from "../../../shared/problems.ts";
import { Lines, SourceError, SourceModule, type ModuleImport } from "../source/index.ts";
import type { SourceFiles } from "./files.ts";
import { resolveImport, type Location } from "./resolve.ts";

/** A file of a design, read and ready to run. */
export interface LoadedModule extends Location {
  kind: "module";
  source: SourceModule;
  /** For each of the source's imports the file it leads to; undefined for a package. */
  imports: { from: ModuleImport; to: LoadedFile | undefined }[];
}

export interface LoadedJson extends Location {
  kind: "json";
  text: string;
}

export type LoadedFile = LoadedModule | LoadedJson;

/** A range of a text that keeps a design from being read. */
export class LoadError extends Error {
  override readonly name = "LoadError";
  readonly code: ProblemCode;
  readonly args: MessageArgs;
  readonly file: string;
  readonly lines: Lines;
  readonly range: { start: number; end: number };

  constructor(
    code: ProblemCode,
    args: MessageArgs,
    file: string,
    lines: Lines,
    range: { start: number; end: number },
  ) {
    super(code);
    this.code = code;
    this.args = args;
    this.file = file;
    this.lines = lines;
    this.range = range;
  }
}

/** Parsed texts by file; a text that has not changed is not parsed again. */
export type ParsedTexts = Map<string, SourceModule>;

export interface Graph {
  entry: LoadedModule;
  /** In the order in which they run: what is imported comes first. */
  order: LoadedModule[];
}

/**
 * Reads a design and everything it imports. Each path that took part is added to `seen`, also
 * one that was looked for in vain. Throws LoadError.
 */
export function loadGraph(
  files: SourceFiles,
  entry: Location,
  parsed: ParsedTexts,
  seen: Set<string>,
): Graph {
  const loaded = new Map<string, LoadedFile>();
  const order: LoadedModule[] = [];
  const underWay: Location[] = [];

  const load = (location: Location, json: boolean): LoadedFile => {
    seen.add(location.file);
    const text = readText(files, location, json);
    if (json) {
      const file: LoadedJson = { ...location, kind: "json", text };
      loaded.set(location.real, file);
      return file;
    }
    const source = parseText(parsed, location, text);
    const module: LoadedModule = { ...location, kind: "module", source, imports: [] };
    underWay.push(location);
    for (const from of source.ports.imports) {
      const refuse = (code: ProblemCode, args: MessageArgs): never => {
        throw new LoadError(code, args, location.file, source.lines, from);
      };
      const found = resolveImport(files, location, from.specifier);
      if (found.kind === "package") {
        module.imports.push({ from, to: undefined });
        continue;
      }
      if (found.kind === "refused") {
        for (const path of found.looked) seen.add(path);
        return refuse(found.code, found.args);
      }
      const circle = underWay.findIndex((one) => one.real === found.real);
      if (circle >= 0) {
        const chain = [...underWay.slice(circle), found].map((one) => basename(one.file)).join(" → ");
        return refuse("import-circle", { chain });
      }
      module.imports.push({ from, to: loaded.get(found.real) ?? load(found, found.json) });
    }
    underWay.pop();
    loaded.set(location.real, module);
    order.push(module);
    return module;
  };

  return { entry: load(entry, false) as LoadedModule, order };
}

/** No design or data file is longer, bytes: reading it would outlast typing. */
const LONGEST = { ts: 2_000_000, json: 20_000_000 };

function readText(files: SourceFiles, location: Location, json: boolean): string {
  try {
    const [size, most] = [files.sizeOf(location.real), json ? LONGEST.json : LONGEST.ts];
    if (size > most) {
      const args = { file: basename(location.file), size: Math.round(size / 1e6), limit: most / 1e6 };
      throw new LoadError("text-too-long", args, location.file, new Lines(""), { start: 0, end: 0 });
    }
    return files.read(location.real);
  } catch (error) {
    if (error instanceof LoadError) throw error;
    const reason = error instanceof Error && "code" in error ? String(error.code) : String(error);
    const args = { file: basename(location.file), reason: readable[reason] ?? reason };
    throw new LoadError("file-unreadable", args, location.file, new Lines(""), { start: 0, end: 0 });
  }
}

const readable: Record<string, string> = {
  ENOENT: "there is no such file",
  EISDIR: "it is a folder",
  EACCES: "access is not allowed",
};

function parseText(parsed: ParsedTexts, location: Location, text: string): SourceModule {
  const before = parsed.get(location.real);
  if (before?.text === text) return before;
  try {
    const module = new SourceModule(text);
    parsed.set(location.real, module);
    return module;
  } catch (error) {
    if (!(error instanceof SourceError)) throw error;
    throw new LoadError(error.code, error.args, location.file, new Lines(text), error);
  }
}

/** The value of a JSON file. Throws LoadError at the first place that is not JSON. */
export function readJson(file: LoadedJson): unknown {
  const errors: ParseError[] = [];
  const tree = parseTree(file.text, errors, { disallowComments: true, allowTrailingComma: false });
  const error = errors.at(0);
  if (error || !tree) {
    const start = error?.offset ?? 0;
    const reason = error
      ? printParseErrorCode(error.error)
          .replace(/([a-z])([A-Z])/g, "$1 $2")
          .toLowerCase()
      : "the file is empty";
    const range = { start, end: start + (error?.length ?? 0) };
    throw new LoadError("json-syntax", { reason }, file.file, new Lines(file.text), range);
  }
  return getNodeValue(tree) as unknown;
}
