import { transformSync } from "amaro";
import type { ExportDefaultDeclaration, File } from "@babel/types";
import MagicString from "magic-string";
import { SourceError } from "./error.ts";
import { Lines } from "./lines.ts";
import type { Ports } from "./ports.ts";
import { placed, skipTrivia, type Node } from "./tree.ts";

/**
 * A module as the body of a function that gets its imports as properties of `arguments[0]` and
 * returns its exports. `body` has every character of the module at `prologue.length` further on;
 * types, `import` and `export` words are blanks.
 */
export interface Runnable {
  body: string;
  prologueLength: number;
}

export function makeRunnable(text: string, tree: File, ports: Ports): Runnable {
  const code = new MagicString(blankTypes(text));
  const defaultName = freeName(text);
  if (tree.program.interpreter) blank(code, text, 0, placed(tree.program.interpreter).end);
  for (const statement of tree.program.body) {
    const { start, end } = placed(statement);
    switch (statement.type) {
      case "ImportDeclaration":
      case "ExportAllDeclaration":
        if (code.original.slice(start, end).trim() !== "") blank(code, text, start, end, ";");
        break;
      case "ExportNamedDeclaration":
        if (code.original.slice(start, end).trim() === "") break;
        if (statement.declaration) blank(code, text, start, placed(statement.declaration).start);
        else blank(code, text, start, end, ";");
        break;
      case "ExportDefaultDeclaration":
        rewriteDefault(code, text, statement, defaultName, ports);
        break;
      default:
    }
  }
  const taken = ports.imports.flatMap((one) => one.bindings.map((binding) => binding.local));
  const prologue =
    `"use strict";` +
    (taken.length > 0 ? `const{${taken.join(",")}}=arguments[0];` : "") +
    (ports.defaultKind === "expression" ? `let ${defaultName};` : "") +
    "\n";
  const given = [...ports.exports].map(([exported, local]) => `[${JSON.stringify(exported)}]:${local}`);
  if (ports.defaultKind === "expression") given.push(`default:${defaultName}`);
  return {
    body: `${prologue}${code.toString()}\n;return{__proto__:null,${given.join(",")}};`,
    prologueLength: prologue.length,
  };
}

/** The text with its types as blanks, every other character where it was. */
function blankTypes(text: string): string {
  try {
    const code = transformSync(text, { mode: "strip-only" }).code;
    if (code.length !== text.length)
      throw new Error(`blanking types moved the text: ${text.length} → ${code.length} characters`);
    return code;
  } catch (error) {
    if (typeof error !== "object" || error === null || !("startLine" in error)) throw error;
    const stripper = error as { message: string; startLine: number; startColumn: number };
    const start = new Lines(text, "javascript").offset(stripper.startLine, stripper.startColumn + 1);
    const reason = stripper.message.replace(/\.$/, "");
    throw new SourceError("syntax", { reason }, start, Math.min(start + 1, text.length));
  }
}

/** Blanks a range but keeps its line breaks; `first` replaces the first character. */
function blank(code: MagicString, text: string, start: number, end: number, first = ""): void {
  const blanks = first + text.slice(start + first.length, end).replace(/[^\n\r\u2028\u2029]/g, " ");
  if (end > start) code.update(start, end, blanks);
}

/**
 * `export default value` becomes an assignment to `name`; a named function or class loses the
 * words only. A function or class without a name turns from a declaration into a value, which a
 * line that begins with a bracket would continue: there the semicolon must be had from a blank.
 */
function rewriteDefault(
  code: MagicString,
  text: string,
  statement: ExportDefaultDeclaration,
  name: string,
  ports: Ports,
): void {
  const { start, end } = placed(statement);
  if (code.original.slice(start, end).trim() === "") return;
  const value = statement.declaration;
  const wordsEnd = skipTrivia(text, start + "export".length) + "default".length;
  if (ports.defaultKind !== "expression") return blank(code, text, start, wordsEnd);
  blank(code, text, start, wordsEnd, `${name}=`);
  if (!isDeclaration(value)) return;
  const next = skipTrivia(text, end);
  const sameLine = !/[\n\r\u2028\u2029]/.test(text.slice(end, next));
  if (next >= text.length || text[next] === ";" || (!sameLine && !/[([`+\-/]/.test(text[next]))) return;
  if (end < next && /[^\S\n\u2028\u2029]/.test(text[end])) {
    if (text[end] !== "\r" || text[end + 1] === "\n") {
      code.update(end, end + 1, ";");
      return;
    }
  }
  const what = value.type === "ClassDeclaration" ? "class" : "function";
  throw new SourceError("no-bare-default", { what }, start, wordsEnd);
}

function isDeclaration(node: Node): boolean {
  return node.type === "FunctionDeclaration" || node.type === "ClassDeclaration";
}

/** A short identifier that the text does not contain. */
function freeName(text: string): string {
  for (let n = 0; ; n++) {
    const name = `$${n.toString(36)}`;
    if (!text.includes(name)) return name;
  }
}
