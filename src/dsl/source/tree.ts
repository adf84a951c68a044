import type { File, Node } from "@babel/types";
import { parse } from "@babel/parser";
import { SourceError } from "./error.ts";

export type { Node } from "@babel/types";

/** A node that was read from a text, so that it has a start and an end. */
export type Placed<T extends Node = Node> = T & { start: number; end: number };

export function placed<T extends Node>(node: T): Placed<T> {
  if (typeof node.start !== "number" || typeof node.end !== "number")
    throw new Error(`a ${node.type} without a place`);
  return node as Placed<T>;
}

/** The syntax tree of a module; throws SourceError at the first place that does not parse. */
export function parseTree(text: string): File {
  try {
    return parse(text, { sourceType: "module", plugins: ["typescript"] });
  } catch (error) {
    if (!(error instanceof SyntaxError) || !("pos" in error) || typeof error.pos !== "number") throw error;
    const reason = "reasonCode" in error ? String(error.reasonCode) : "";
    const start = Math.min(error.pos, text.length);
    const end = start + wordLength(text, start);
    if (/decorators/.test(error.message)) throw new SourceError("no-decorator", {}, start, end);
    throw new SourceError("syntax", { reason: plainReason(error.message, reason) }, start, end);
  }
}

/** The parser's sentence without its own line and column and without the names of its plugins. */
function plainReason(message: string, reasonCode: string): string {
  if (/^Missing(OneOf)?Plugin/.test(reasonCode)) return "this syntax is not part of JavaScript";
  const sentence = message.replace(/\s*\(\d+:\d+\)$/, "").replace(/\.$/, "");
  return sentence.charAt(0).toLowerCase() + sentence.slice(1);
}

function wordLength(text: string, start: number): number {
  return (
    /^[\p{ID_Continue}$]+/u.exec(text.slice(start, start + 200))?.[0].length ?? (start < text.length ? 1 : 0)
  );
}

const notChildren = new Set([
  "loc",
  "extra",
  "leadingComments",
  "trailingComments",
  "innerComments",
  "errors",
]);

/** The nodes directly below a node, in the order of their properties. */
export function childrenOf(node: Node): Node[] {
  const children: Node[] = [];
  for (const [key, value] of Object.entries(node) as [string, unknown][]) {
    if (typeof value !== "object" || value === null || notChildren.has(key)) continue;
    if (Array.isArray(value)) {
      for (const item of value as unknown[]) if (isNode(item)) children.push(item);
    } else if (isNode(value)) children.push(value);
  }
  return children;
}

function isNode(value: unknown): value is Node {
  return typeof value === "object" && value !== null && "type" in value && typeof value.type === "string";
}

const typeWrappers = new Set([
  "TSAsExpression",
  "TSSatisfiesExpression",
  "TSNonNullExpression",
  "TSInstantiationExpression",
  "TSTypeAssertion",
]);

type Wrapper = Extract<Node, { type: "TSAsExpression" | "TSSatisfiesExpression" | "TSNonNullExpression" }>;

/** `value as T`, `value satisfies T`, `value!` and the like: a value that wears a type. */
export function isTypeWrapper(node: Node): node is Wrapper {
  return typeWrappers.has(node.type);
}

/** The value inside `as`, `satisfies` and `!`. */
export function unwrapped(node: Node): Node {
  let inner = node;
  while (isTypeWrapper(inner)) inner = inner.expression;
  return inner;
}

/** A part of the tree that is gone when the program runs. */
export function isTypeOnly(node: Node): boolean {
  if ("declare" in node && node.declare === true) return true;
  switch (node.type) {
    case "ImportDeclaration":
      return node.importKind === "type";
    case "ImportSpecifier":
      return node.importKind === "type";
    case "ExportNamedDeclaration":
      return node.exportKind === "type";
    case "ExportSpecifier":
      return node.exportKind === "type";
    case "ExportAllDeclaration":
      return node.exportKind === "type";
    default:
      return (
        node.type.startsWith("TS") &&
        !isTypeWrapper(node) &&
        node.type !== "TSParameterProperty" &&
        node.type !== "TSEnumDeclaration" &&
        node.type !== "TSModuleDeclaration" &&
        node.type !== "TSExportAssignment" &&
        node.type !== "TSImportEqualsDeclaration"
      );
  }
}

/** Visits every node that runs, outer ones first. `visit` gets the chain of nodes around it, innermost last. */
export function walkValues(root: Node, visit: (node: Node, around: readonly Node[]) => void): void {
  const around: Node[] = [];
  const step = (node: Node): void => {
    if (isTypeOnly(node)) return;
    visit(node, around);
    around.push(node);
    for (const child of childrenOf(node)) step(child);
    around.pop();
  };
  step(root);
}

/** The offset after blanks and comments. */
export function skipTrivia(text: string, offset: number): number {
  const trivia = /(?:\s|\uFEFF|\/\/[^\n\r\u2028\u2029]*|\/\*[\s\S]*?\*\/)*/y;
  trivia.lastIndex = offset;
  trivia.exec(text);
  return trivia.lastIndex;
}
