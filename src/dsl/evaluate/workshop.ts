import { basename, dirname, join } from "node:path";
import {
  findNodeAtLocation,
  getNodeValue,
  parseTree,
  printParseErrorCode,
  type Node,
  type ParseError,
} from "jsonc-parser";
import type { core } from "zod/mini";
import type { Problem } from "../../../shared/finding.ts";
import { SETTINGS_FILE, settingsSchema } from "../../../shared/settings.ts";
import { KitError } from "../kit/error.ts";
import { allowedKeys, asFraction, show } from "../kit/options.ts";
import { NO_WORKSHOP } from "../kit/record.ts";
import { checkWorkshop, type Workshop } from "../kit/workshop.ts";
import { Lines, placeOf } from "../source/index.ts";
import { isInside, resolveLinks, type SourceFiles } from "./files.ts";
import { problem } from "./problem.ts";

export type Read = { workshop: Workshop; text: string } | { problem: Problem };

/**
 * Reads the `slabwright.json` nearest to the design, beside it or above it up to the root. Paths
 * looked at are added to `seen`: a file that appears nearer takes over. Comments are allowed in it.
 */
export function readWorkshop(files: SourceFiles, entry: string, seen: Set<string>): Read {
  for (let folder = dirname(entry); ; folder = dirname(folder)) {
    const real = resolveLinks(join(folder, SETTINGS_FILE));
    if (!isInside(files.root, real)) break;
    const file = join(folder, SETTINGS_FILE);
    seen.add(file);
    if (files.isFile(real)) return readFile(files, file, real);
    if (folder === dirname(folder)) break;
  }
  return { workshop: NO_WORKSHOP, text: "" };
}

function readFile(files: SourceFiles, file: string, real: string): Read {
  let text: string;
  try {
    text = files.read(real);
  } catch (error) {
    const reason = error instanceof Error && "code" in error ? String(error.code) : String(error);
    const place = placeOf(file, { lines: new Lines("") }, { start: 0, end: 0 });
    return { problem: problem("file-unreadable", { file: basename(file), reason }, { place }) };
  }
  const source = { lines: new Lines(text) };
  const placeAt = (range: { start: number; end: number }) => placeOf(file, source, range);
  const errors: ParseError[] = [];
  const tree = parseTree(text, errors, { allowTrailingComma: true });
  const error = errors.at(0);
  if (error || !tree) {
    const start = error?.offset ?? 0;
    const reason = error
      ? printParseErrorCode(error.error)
          .replace(/([a-z])([A-Z])/g, "$1 $2")
          .toLowerCase()
      : "the file is empty";
    const place = placeAt({ start, end: start + (error?.length ?? 0) });
    return { problem: problem("json-syntax", { reason }, { place }) };
  }
  try {
    const value = getNodeValue(tree) as unknown;
    const parsed = settingsSchema.safeParse(value);
    if (!parsed.success) throw misuse(parsed.error.issues[0], value);
    return { workshop: checkWorkshop(file, parsed.data), text };
  } catch (error) {
    if (!(error instanceof KitError)) throw error;
    const { code, args, message, target } = error;
    return {
      problem: {
        code,
        args,
        message,
        place: placeAt(rangeAt(tree, target.path ?? [], target.ofKey === true)),
      },
    };
  }
}

/** What the schema found wrong, in the words of the kit. */
function misuse(issue: core.$ZodIssue, value: unknown): KitError {
  const path = issue.path.map(String);
  const found = path.reduce<unknown>(
    (inner, key) =>
      typeof inner === "object" && inner !== null ? (inner as Record<string, unknown>)[key] : undefined,
    value,
  );
  const key = path.join(".") || "the file";
  const call = SETTINGS_FILE;
  if (issue.code === "unrecognized_keys") {
    const [unknown] = issue.keys;
    const allowed = allowedKeys(unknown, keysAt(path));
    const named = [...path, unknown];
    return new KitError(
      "kit-unknown-key",
      { call, key: named.join("."), allowed },
      { call: -1, path: named, ofKey: true },
    );
  }
  if (issue.code === "too_big" && issue.maximum === 1 && typeof found === "number" && found <= 100)
    return new KitError(
      "kit-looks-like-percent",
      { call, key, value: show(found), fraction: asFraction(found) },
      { call: -1, path },
    );
  if (found === undefined)
    return new KitError("kit-missing", { call, key, allowed: `It is ${wanted(issue)}.` }, { call: -1, path });
  return new KitError(
    "kit-wrong-type",
    { call, key, allowed: wanted(issue), value: show(found) },
    { call: -1, path },
  );
}

function wanted(issue: core.$ZodIssue): string {
  switch (issue.code) {
    case "invalid_type":
      return issue.expected === "object"
        ? "an object in braces"
        : issue.expected === "string"
          ? "a text"
          : `a ${issue.expected}`;
    case "invalid_value":
      return issue.values.map((one) => (typeof one === "string" ? `“${one}”` : String(one))).join(" or ");
    case "too_small":
      return issue.origin === "array"
        ? `a list of ${String(issue.minimum)}`
        : `${issue.inclusive ? "at least" : "above"} ${String(issue.minimum)}`;
    case "too_big":
      return issue.origin === "array"
        ? `a list of ${String(issue.maximum)}`
        : `${issue.inclusive ? "at most" : "below"} ${String(issue.maximum)}`;
    case "invalid_union": {
      const first = issue.errors.flatMap((errors) => errors.slice(0, 1));
      return first.length > 0 ? first.map(wanted).join(" or ") : "something else";
    }
    default:
      return "something else";
  }
}

/** The keys that the schema knows at a path, through unions and records. */
function keysAt(path: readonly string[]): string[] {
  let schema: unknown = settingsSchema;
  const shapeOf = (one: unknown): Record<string, unknown> | undefined => {
    const def = (
      one as { _zod?: { def: { type: string; innerType?: unknown; options?: unknown[]; shape?: object } } }
    )._zod?.def;
    if (!def) return undefined;
    if (def.type === "optional") return shapeOf(def.innerType);
    if (def.type === "union") return def.options?.map(shapeOf).find(Boolean);
    return def.shape as Record<string, unknown> | undefined;
  };
  for (const key of path) {
    const record = valueTypeOf(schema);
    schema = record ?? shapeOf(schema)?.[key];
  }
  return Object.keys(shapeOf(schema) ?? {}).filter((key) => key !== "$schema");
}

function valueTypeOf(schema: unknown): unknown {
  const def = (
    schema as { _zod?: { def: { type: string; innerType?: unknown; valueType?: unknown } } } | undefined
  )?._zod?.def;
  if (def?.type === "optional") return valueTypeOf(def.innerType);
  return def?.type === "record" ? def.valueType : undefined;
}

/** The narrowest thing in the file that a path leads to: its value, or its key, or the value around what is missing. */
function rangeAt(tree: Node, path: readonly string[], ofKey: boolean): { start: number; end: number } {
  for (let depth = path.length; depth >= 0; depth--) {
    const inner = path.slice(0, depth).map((key) => (/^\d+$/.test(key) ? Number(key) : key));
    const found = findNodeAtLocation(tree, inner);
    const node = ofKey && found?.parent?.type === "property" ? found.parent.children?.[0] : found;
    if (node) return { start: node.offset, end: node.offset + node.length };
  }
  return { start: 0, end: 0 };
}
