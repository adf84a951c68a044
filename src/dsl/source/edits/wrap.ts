import type { Literal } from "../../../../shared/change.ts";
import { openingBracket, type Call } from "../calls.ts";
import type { SourceModule } from "../module.ts";
import { placed, unwrapped, type Node, type Placed } from "../tree.ts";
import { findValue, type Obstacle } from "../values.ts";
import { nameFor } from "./imports.ts";
import { outerRange, type Written } from "./set.ts";
import { readStyle, writeLiteral } from "./style.ts";

/** `mold(body)` → `mold(shrink(body, 0.125))`, with the import it needs. */
export function writeWrap(
  module: SourceModule,
  call: Call,
  argument: number,
  name: string,
  args: readonly Literal[],
): Written {
  const found = argumentOf(module, call, argument);
  if ("obstacle" in found) return found;
  const style = readStyle(module);
  const literals = args.map((one) => writeLiteral(one, style));
  if (literals.includes(undefined))
    return { obstacle: { code: "edit-no-literal", args: { value: JSON.stringify(args) }, node: call } };
  const named = nameFor(module, "slabwright", name, call);
  if ("obstacle" in named) return named;
  const { start, end } = found.node;
  const tail = [...literals.map((one) => `, ${one}`), ")"].join("");
  return {
    replacements: [
      ...named.replacements,
      { start, end: start, text: `${named.name}(` },
      { start: end, end, text: tail },
    ],
  };
}

/** `shrink(body, 0.12)` → `body`. */
export function writeUnwrap(module: SourceModule, call: Call, argument: number): Written {
  const found = argumentOf(module, call, argument);
  if ("obstacle" in found) return found;
  const inner = outerRange(module.text, found.node);
  const bare = inner.start === found.node.start && !standsAlone(found.node);
  const before = module.text.slice(openingBracket(module.text, call) + 1, inner.start);
  // A comment before what stays is about what stays.
  const comment = before.trim() === "" || argument > 0 ? "" : before.trimStart();
  return {
    replacements: [
      { start: call.start, end: inner.start, text: comment + (bare ? "(" : "") },
      { start: inner.end, end: call.end, text: bare ? ")" : "" },
    ],
  };
}

function argumentOf(
  module: SourceModule,
  call: Call,
  argument: number,
): { node: Placed } | { obstacle: Obstacle } {
  const found = findValue(module, call, argument, []);
  if (found.kind === "value") return { node: placed(found.node) };
  if (found.kind === "obstacle") return { obstacle: found.obstacle };
  return { obstacle: { code: "edit-no-argument", args: { number: argument + 1 }, node: call } };
}

const tight = new Set([
  "Identifier",
  "CallExpression",
  "OptionalCallExpression",
  "MemberExpression",
  "OptionalMemberExpression",
  "NumericLiteral",
  "StringLiteral",
  "TemplateLiteral",
  "ArrayExpression",
  "TSNonNullExpression",
]);

/** An expression that binds as tightly as the call it takes the place of. */
function standsAlone(node: Node): boolean {
  return tight.has(node.type) && tight.has(unwrapped(node).type);
}
