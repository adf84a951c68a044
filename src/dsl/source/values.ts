import type { Expression, ObjectExpression, ObjectProperty } from "@babel/types";
import type { MessageArgs } from "../../../shared/finding.ts";
import type { ProblemCode } from "../../../shared/problems.ts";
import type { Call } from "./calls.ts";
import type { SourceModule } from "./module.ts";
import type { Binding } from "./scopes.ts";
import { placed, unwrapped, type Node } from "./tree.ts";

/** Why a value cannot be followed or edited, with the node to look at. */
export interface Obstacle {
  code: ProblemCode;
  args: MessageArgs;
  node: Node;
}

/** What stands in a text for an argument, or for an option inside it. */
export type Found =
  /** The value as written; `through` are the constants that lead from the call to it. */
  | { kind: "value"; node: Node; through: Binding[] }
  | { kind: "no-argument" }
  /** The object is there, the keys from `rest` inwards are not. */
  | { kind: "no-key"; object: ObjectExpression; rest: string[]; through: Binding[] }
  /** `nearest` is the narrowest node that surely has to do with it. */
  | { kind: "obstacle"; obstacle: Obstacle; nearest: Node | undefined };

/** Follows `path` from an argument inwards, through constants of the same file. */
export function findValue(
  module: SourceModule,
  call: Call,
  argument: number,
  path: readonly string[],
): Found {
  const spread = call.arguments.slice(0, argument + 1).find((one) => one.type === "SpreadElement");
  if (spread) return { kind: "obstacle", obstacle: spreadObstacle(module, spread), nearest: spread };
  if (argument === call.arguments.length) return { kind: "no-argument" };
  if (argument > call.arguments.length) {
    const obstacle = { code: "edit-no-argument", args: { number: argument + 1 }, node: call } as const;
    return { kind: "obstacle", obstacle, nearest: undefined };
  }
  let node: Node = call.arguments[argument];
  let through: Binding[] = [];
  for (const [depth, key] of path.entries()) {
    const container = followConstants(module, node);
    if (container.obstacle) return { kind: "obstacle", obstacle: container.obstacle, nearest: node };
    through = [...through, ...container.through];
    const inner = container.node;
    if (inner.type === "ArrayExpression") {
      const before = inner.elements.slice(0, Number(key) + 1);
      const element = inner.elements[Number(key)];
      const elementSpread = before.find((one) => one?.type === "SpreadElement");
      if (elementSpread)
        return { kind: "obstacle", obstacle: spreadObstacle(module, elementSpread), nearest: elementSpread };
      if (!element) return { kind: "obstacle", obstacle: computed(module, inner), nearest: inner };
      node = element;
      continue;
    }
    if (inner.type !== "ObjectExpression")
      return { kind: "obstacle", obstacle: computed(module, inner), nearest: node };
    const found = findProperty(module, inner, key);
    if (found.obstacle)
      return { kind: "obstacle", obstacle: found.obstacle, nearest: found.nearest ?? inner };
    if (!found.property) return { kind: "no-key", object: inner, rest: path.slice(depth), through };
    node = found.property.value;
  }
  return { kind: "value", node, through };
}

/** The name of an option as written, where `path` leads to one; its value may be anything. */
export function findKey(
  module: SourceModule,
  call: Call,
  argument: number,
  path: readonly string[],
): Node | undefined {
  const around = findValue(module, call, argument, path.slice(0, -1));
  if (around.kind !== "value") return undefined;
  const { node, obstacle } = followConstants(module, around.node);
  if (obstacle || node.type !== "ObjectExpression") return undefined;
  const last = path.at(-1);
  const named = node.properties.filter(
    (property) => property.type !== "SpreadElement" && !property.computed && keyName(property.key) === last,
  );
  const [property] = named.slice(-1);
  return property?.type === "SpreadElement" ? undefined : property?.key;
}

/** The expression that a name stands for, as far as constants of this file lead. */
export function followConstants(
  module: SourceModule,
  start: Node,
): { node: Node; through: Binding[]; obstacle?: Obstacle } {
  const through: Binding[] = [];
  let node = unwrapped(start);
  while (node.type === "Identifier" && node.name !== "undefined") {
    const binding = module.scopes.bindingOf(node);
    const init = binding?.kind === "const" ? binding.declarator?.init : undefined;
    if (!binding || !init || through.includes(binding)) {
      return { node, through, obstacle: fromName(module, node, binding) };
    }
    through.push(binding);
    node = unwrapped(init);
  }
  return { node, through };
}

function fromName(
  module: SourceModule,
  node: Node & { name: string },
  binding: Binding | undefined,
): Obstacle {
  if (!binding) return computed(module, node);
  if (binding.specifier !== undefined)
    return {
      code: "edit-value-import",
      args: { name: node.name, specifier: binding.specifier },
      node: binding.declared,
    };
  return {
    code: "edit-value-from",
    args: { name: node.name, line: lineOf(module, binding.declared) },
    node: binding.declared,
  };
}

function findProperty(
  module: SourceModule,
  object: ObjectExpression,
  key: string,
): { property?: ObjectProperty & { value: Expression }; obstacle?: Obstacle; nearest?: Node } {
  let result: ReturnType<typeof findProperty> = {};
  for (const property of object.properties) {
    if (property.type === "SpreadElement") {
      result = { obstacle: spreadObstacle(module, property), nearest: property };
    } else if (property.computed && property.key.type !== "StringLiteral") {
      result = { obstacle: computed(module, property), nearest: property };
    } else if (keyName(property.key) === key) {
      result =
        property.type === "ObjectProperty"
          ? { property: property as ObjectProperty & { value: Expression } }
          : { obstacle: computed(module, property), nearest: property };
    }
  }
  return result;
}

function keyName(key: Node): string | undefined {
  if (key.type === "Identifier") return key.name;
  if (key.type === "StringLiteral") return key.value;
  if (key.type === "NumericLiteral") return String(key.value);
  return undefined;
}

function spreadObstacle(module: SourceModule, spread: Node & { argument: Node }): Obstacle {
  const { start, end } = placed(spread.argument);
  const source = module.text.slice(start, end);
  return {
    code: "edit-spread",
    args: {
      source: source.length > 40 ? source.slice(0, 39) + "…" : source,
      line: lineOf(module, spread.argument),
    },
    node: spread.argument,
  };
}

export function computed(module: SourceModule, node: Node): Obstacle {
  return { code: "edit-value-computed", args: { line: lineOf(module, node) }, node };
}

export function lineOf(module: SourceModule, node: Node): number {
  return module.lines.position(placed(node).start).line;
}

/** A value that is written out to the last digit. */
export function isLiteral(value: Node): boolean {
  const node = unwrapped(value);
  switch (node.type) {
    case "NumericLiteral":
    case "StringLiteral":
    case "BooleanLiteral":
    case "NullLiteral":
      return true;
    case "Identifier":
      return node.name === "undefined";
    case "UnaryExpression":
      return (node.operator === "-" || node.operator === "+") && node.argument.type === "NumericLiteral";
    case "TemplateLiteral":
      return node.expressions.length === 0;
    case "ArrayExpression":
      return node.elements.every((one) => one !== null && isLiteral(one));
    case "ObjectExpression":
      return node.properties.every(
        (one) => one.type === "ObjectProperty" && !one.computed && !one.shorthand && isLiteral(one.value),
      );
    default:
      return false;
  }
}

/** A number literal or minus one: what a slider can write. */
export function isWritableNumber(value: Node | undefined): boolean {
  if (!value) return false;
  const node = unwrapped(value);
  if (node.type === "UnaryExpression")
    return node.operator === "-" && node.argument.type === "NumericLiteral";
  return node.type === "NumericLiteral";
}
