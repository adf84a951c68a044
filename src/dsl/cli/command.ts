import { parseArgs } from "node:util";
import { exportFormats, type ExportFormat } from "../../../shared/engine.ts";
import { writableFormats } from "../output/writers.ts";
import { UsageError } from "./usage.ts";

/** What the command line asks for. */
export type Command =
  | { kind: "help" }
  | { kind: "version" }
  | {
      kind: "export";
      file: string;
      out: string;
      /** Empty: all that can be written. */
      formats: ExportFormat[];
      allowErrors: boolean;
      /** How long a design may run, s. */
      timeLimitS: number;
      json: boolean;
    }
  | { kind: "check"; file: string; timeLimitS: number; json: boolean }
  | { kind: "clay"; file: string; json: boolean }
  | { kind: "new"; name: string; from: string | null };

const OPTIONS = {
  out: { type: "string" },
  formats: { type: "string" },
  "allow-errors": { type: "boolean" },
  json: { type: "boolean" },
  "time-limit": { type: "string" },
  from: { type: "string" },
  help: { type: "boolean", short: "h" },
  version: { type: "boolean" },
} as const;

const ALLOWED: Record<"export" | "check" | "clay" | "new", readonly string[]> = {
  export: ["out", "formats", "allow-errors", "time-limit", "json"],
  check: ["time-limit", "json"],
  clay: ["json"],
  new: ["from"],
};

/** The command in these words (without node and script). Anything wrong with them throws `UsageError`. */
export function parseCommand(words: readonly string[]): Command {
  const { values, positionals } = parsed(words);
  const [name, ...rest] = positionals;
  if (values.help || name === "help") return { kind: "help" };
  if (values.version) return { kind: "version" };
  if (name === undefined) throw new UsageError("A command is missing: export, check, clay or new.");
  if (name !== "export" && name !== "check" && name !== "clay" && name !== "new") {
    throw new UsageError(`There is no command “${name}”. Allowed: export, check, clay, new.`);
  }
  for (const option of Object.keys(values)) {
    if (!ALLOWED[name].includes(option)) {
      const allowed = ALLOWED[name].map((key) => `--${key}`).join(", ");
      throw new UsageError(`“${name}” has no option --${option}. Allowed: ${allowed}.`);
    }
  }
  const what = name === "new" ? "NAME" : "FILE";
  if (rest.length === 0) throw new UsageError(`${what} is missing: slabwright ${name} ${what}.`);
  if (rest.length > 1)
    throw new UsageError(`“${name}” takes one ${what}, got ${rest.length}: ${rest.join(", ")}.`);
  switch (name) {
    case "export":
      return {
        kind: "export",
        file: rest[0],
        out: values.out ?? "out",
        formats: values.formats === undefined ? [] : parseFormats(values.formats),
        allowErrors: values["allow-errors"] ?? false,
        timeLimitS: parseTimeLimit(values["time-limit"]),
        json: values.json ?? false,
      };
    case "check":
      return {
        kind: "check",
        file: rest[0],
        timeLimitS: parseTimeLimit(values["time-limit"]),
        json: values.json ?? false,
      };
    case "clay":
      return { kind: "clay", file: rest[0], json: values.json ?? false };
    case "new":
      return { kind: "new", name: rest[0], from: values.from ?? null };
  }
}

function parsed(words: readonly string[]) {
  try {
    return parseArgs({ args: [...words], options: OPTIONS, allowPositionals: true, strict: true });
  } catch (error) {
    if (error instanceof TypeError && "code" in error && String(error.code).startsWith("ERR_PARSE_ARGS")) {
      throw new UsageError(error.message);
    }
    throw error;
  }
}

const TIME_LIMIT = { usual: 10, min: 1, max: 120 };

function parseTimeLimit(text: string | undefined): number {
  if (text === undefined) return TIME_LIMIT.usual;
  const seconds = Number(text);
  if (text.trim() === "" || !(seconds >= TIME_LIMIT.min && seconds <= TIME_LIMIT.max))
    throw new UsageError(
      `--time-limit is “${text}”; it is a number of seconds from ${TIME_LIMIT.min} to ${TIME_LIMIT.max}.`,
    );
  return seconds;
}

function parseFormats(list: string): ExportFormat[] {
  const words = list.split(",").map((word) => word.trim().toLowerCase());
  return words.map((word) => {
    const format = exportFormats.find((known) => known === word);
    const writable = writableFormats.join(", ");
    if (!format) throw new UsageError(`There is no format “${word}”. Allowed: ${writable}.`);
    if (!writableFormats.includes(format)) {
      throw new UsageError(`This version of Slabwright does not write ${format} yet. It writes ${writable}.`);
    }
    return format;
  });
}
