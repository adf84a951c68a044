import type { ObjectExpression } from "@babel/types";
import type { Literal } from "../../../../shared/change.ts";
import { openingBracket, type Call } from "../calls.ts";
import type { SourceModule } from "../module.ts";
import type { Binding } from "../scopes.ts";
import { placed, type Node } from "../tree.ts";
import { computed, findValue, followConstants, isLiteral, lineOf, type Obstacle } from "../values.ts";
import { insertItem, type Replacement } from "./list.ts";
import { readStyle, writeKey, writeLiteral, type Style } from "./style.ts";

export type Written = { replacements: Replacement[] } | { obstacle: Obstacle };

/** Writes a literal for an argument (`path` empty) or for an option inside it. */
export function writeValue(
  module: SourceModule,
  call: Call,
  argument: number,
  path: readonly string[],
  value: Literal,
): Written {
  const style = readStyle(module);
  const literal = writeLiteral(value, style);
  if (literal === undefined)
    return { obstacle: { code: "edit-no-literal", args: { value: JSON.stringify(value) }, node: call } };
  const found = findValue(module, call, argument, path);
  switch (found.kind) {
    case "obstacle":
      return { obstacle: found.obstacle };
    case "no-argument": {
      const options = writeLiteral(nested(path, value), style) ?? literal;
      return { replacements: [appendArgument(module, call, options)] };
    }
    case "no-key": {
      const obstacle = firstShared(module, found.through) ?? spreadIn(module, found.object);
      if (obstacle) return { obstacle };
      const [key, ...inner] = found.rest;
      const written = writeLiteral(nested(inner, value), style) ?? literal;
      return { replacements: insertKey(module, found.object, `${writeKey(key, style)}: ${written}`, style) };
    }
    case "value": {
      const end = followConstants(module, found.node);
      if (end.obstacle) return { obstacle: end.obstacle };
      const obstacle = firstShared(module, [...found.through, ...end.through]);
      if (obstacle) return { obstacle };
      if (!isLiteral(end.node)) return { obstacle: computed(module, end.node) };
      const { start, end: stop } = placed(end.node);
      return { replacements: [{ start, end: stop, text: literal }] };
    }
  }
}

/** A constant with more than one use, or one that other files can use. */
function firstShared(module: SourceModule, through: readonly Binding[]): Obstacle | undefined {
  const shared = through.find((binding) => binding.uses.length > 1 || binding.exported);
  if (!shared) return undefined;
  const args = { name: shared.name, line: lineOf(module, shared.declared) };
  return shared.uses.length > 1
    ? {
        code: "edit-value-shared",
        args: { ...args, count: shared.uses.length },
        node: shared.declared,
      }
    : { code: "edit-value-from", args, node: shared.declared };
}

function spreadIn(module: SourceModule, object: ObjectExpression): Obstacle | undefined {
  const unsure = object.properties.find((one) => one.type === "SpreadElement" || one.computed);
  return unsure && computed(module, unsure);
}

function nested(path: readonly string[], value: Literal): Literal {
  return path.reduceRight<Literal>((inner, key) => ({ [key]: inner }), value);
}

function insertKey(
  module: SourceModule,
  object: ObjectExpression,
  item: string,
  style: Style,
): Replacement[] {
  const items = object.properties.map((one) => placed(one));
  return insertItem(module.text, placed(object).start, items, items.length, item, style);
}

function appendArgument(module: SourceModule, call: Call, text: string): Replacement {
  const last = call.arguments.at(-1);
  if (last) {
    const at = outerEnd(module.text, last);
    return { start: at, end: at, text: `, ${text}` };
  }
  const at = openingBracket(module.text, call) + 1;
  return { start: at, end: at, text };
}

/** The end of an expression with the brackets around it. */
export function outerEnd(text: string, node: Node): number {
  return outerRange(text, node).end;
}

export function outerRange(text: string, node: Node): { start: number; end: number } {
  const { start, end } = placed(node);
  if (node.extra?.parenthesized !== true || typeof node.extra.parenStart !== "number") return { start, end };
  return { start: node.extra.parenStart, end: closingBracket(text, end) };
}

function closingBracket(text: string, from: number): number {
  const close = /^(?:\s|\/\/[^\n\r]*|\/\*[\s\S]*?\*\/)*\)/.exec(text.slice(from));
  return from + (close?.[0].length ?? 0);
}
