import type { Literal } from "../../../../shared/change.ts";
import type { SourceModule } from "../module.ts";
import { walkValues } from "../tree.ts";

/** How a maker writes, read from the file itself. */
export interface Style {
  quote: "'" | '"';
  lineBreak: string;
  /** One step of indentation. */
  indent: string;
  /** Blank between a brace and what it holds on one line. */
  braceSpace: string;
  semicolon: string;
}

export function readStyle(module: SourceModule): Style {
  const { text, tree } = module;
  let single = 0;
  let double = 0;
  let spaced = 0;
  let tight = 0;
  walkValues(tree.program, (node) => {
    if (node.type === "StringLiteral") {
      if (text[node.start ?? 0] === "'") single++;
      else double++;
    } else if (node.type === "ObjectExpression" && node.properties.length > 0) {
      if (/\s/.test(text[(node.start ?? 0) + 1])) spaced++;
      else tight++;
    } else if (node.type === "ImportDeclaration") {
      const brace = text.indexOf("{", node.start ?? 0);
      if (brace < 0 || brace > (node.end ?? 0)) return;
      if (/\s/.test(text[brace + 1])) spaced++;
      else tight++;
    }
  });
  const imports = tree.program.body.filter((one) => one.type === "ImportDeclaration");
  return {
    quote: single > double ? "'" : '"',
    lineBreak: /\r\n|\n|\r/.exec(text)?.[0] ?? "\n",
    indent: readIndent(text),
    braceSpace: tight > spaced ? "" : " ",
    semicolon: imports.length > 0 && imports.every((one) => text[(one.end ?? 1) - 1] !== ";") ? "" : ";",
  };
}

/** The smallest indentation that occurs; two blanks where there is none. */
function readIndent(text: string): string {
  let smallest = "";
  for (const match of text.matchAll(/^([ \t]+)[^\s*]/gm)) {
    const indent = match[1];
    if (indent.startsWith("\t")) return "\t";
    if (indent.length > 1 && (smallest === "" || indent.length < smallest.length)) smallest = indent;
  }
  return smallest || "  ";
}

/** The blanks at the beginning of the line that holds `offset`. */
export function indentAt(text: string, offset: number): string {
  const lineStart = Math.max(text.lastIndexOf("\n", offset - 1), text.lastIndexOf("\r", offset - 1)) + 1;
  return /^[ \t]*/.exec(text.slice(lineStart, offset))?.[0] ?? "";
}

/** A literal in the file's style; undefined where there is none for the value. */
export function writeLiteral(value: Literal, style: Style): string | undefined {
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : undefined;
  if (typeof value === "string") return quoted(value, style);
  if (typeof value === "boolean" || value === null) return String(value);
  if (Array.isArray(value)) {
    const items = value.map((one) => writeLiteral(one, style));
    return items.includes(undefined) ? undefined : `[${items.join(", ")}]`;
  }
  const entries = Object.entries(value).map(([key, one]) => {
    const text = writeLiteral(one, style);
    return text === undefined ? undefined : `${writeKey(key, style)}: ${text}`;
  });
  if (entries.includes(undefined)) return undefined;
  return entries.length === 0 ? "{}" : `{${style.braceSpace}${entries.join(", ")}${style.braceSpace}}`;
}

export function writeKey(key: string, style: Style): string {
  return /^[\p{ID_Start}_$][\p{ID_Continue}$]*$/u.test(key) ? key : quoted(key, style);
}

function quoted(value: string, style: Style): string {
  const body = JSON.stringify(value).slice(1, -1);
  return style.quote === '"' ? `"${body}"` : `'${body.replace(/\\"/g, '"').replace(/'/g, "\\'")}'`;
}
