import type { TextEdit } from "../../../../shared/change.ts";
import type { Call } from "../calls.ts";
import { isCall } from "../calls.ts";
import type { SourceModule } from "../module.ts";
import { placed, walkValues, type Node } from "../tree.ts";
import { followConstants, isWritableNumber } from "../values.ts";
import { nameFor } from "./imports.ts";
import type { Replacement } from "./list.ts";
import { readStyle, writeLiteral } from "./style.ts";

/** A measured clay, to be written into a design. Lengths mm. */
export interface NamedBars {
  name: string;
  bars: readonly { wet: number; dry?: number; fired: number }[];
}

export interface WrittenClay {
  edits: Omit<TextEdit, "file">[];
  /** What the clay is called in the design. */
  constant: string;
  /** The design's one `shrink` by a number takes the clay instead. */
  used: boolean;
}

/**
 * Puts `const x = clay({ name, bars: […] })` below the imports of a design, imports what it needs,
 * and hands it to the one `shrink` whose shrinkage is a plain number. With none or several of
 * those it is only declared. Undefined where `clay` means something else in the text.
 */
export function writeClay(module: SourceModule, { name, bars }: NamedBars): WrittenClay | undefined {
  const { tree } = module;
  const style = readStyle(module);
  const named = nameFor(module, "slabwright", "clay", tree.program);
  if ("obstacle" in named) return undefined;
  const constant = freeName(module, name);
  const { lineBreak, indent } = style;
  const lines = bars.map((bar) => `${indent}${indent}${writeLiteral({ ...bar }, style)},`);
  const call = [
    `const ${constant} = ${named.name}({`,
    `${indent}name: ${writeLiteral(name, style)},`,
    `${indent}bars: [`,
    ...lines,
    `${indent}],`,
    `})${style.semicolon}`,
  ].join(lineBreak);
  const last = tree.program.body.findLast((one) => one.type === "ImportDeclaration");
  const end = last ? placed(last).end : 0;
  const declaration: Replacement = last
    ? { start: end, end, text: `${lineBreak}${lineBreak}${call}` }
    : { start: 0, end: 0, text: `${call}${lineBreak}${lineBreak}` };
  const shrinkages = plainShrinkages(module);
  const used = shrinkages.length === 1;
  const edits = [...named.replacements, declaration];
  if (used) edits.push({ ...placed(shrinkages[0]), text: constant });
  const inOrder = edits.map(({ start, end, text: added }) => ({ start, end, text: added }));
  // A new import goes before what is declared below the imports.
  inOrder.sort((a, b) => a.start - b.start || a.end - b.end);
  return { edits: inOrder, constant, used };
}

/** Second arguments of the kit's `shrink` that are plain numbers, here or in a constant of this file. */
function plainShrinkages(module: SourceModule): Node[] {
  const found: Node[] = [];
  walkValues(module.tree.program, (node) => {
    if (!isCall(node) || !isKitCall(module, node, "shrink")) return;
    const given = node.arguments.at(1);
    if (!given) return;
    const { node: value } = followConstants(module, given);
    if (isWritableNumber(value)) found.push(given);
  });
  return found;
}

function isKitCall(module: SourceModule, { callee }: Call, name: string): boolean {
  if (callee.type !== "Identifier") return false;
  const binding = module.scopes.bindingOf(callee);
  if (binding?.specifier !== "slabwright") return false;
  return module.ports.imports.some((one) =>
    one.bindings.some(({ local, imported }) => local === callee.name && imported === name),
  );
}

/** `whiteStoneware` for “White stoneware”; numbered where that is taken. */
function freeName(module: SourceModule, name: string): string {
  const words = name.normalize("NFKD").match(/[A-Za-z0-9]+/g) ?? [];
  const camel = words
    .map((word, i) => (i === 0 ? word[0].toLowerCase() : word[0].toUpperCase()) + word.slice(1))
    .join("");
  const base = /^[A-Za-z]/.test(camel) ? camel : `clay${camel}`;
  const taken = (one: string) =>
    (module.scopes.declarations.get(one) ?? 0) > 0 || reserved.has(one) || one === "clay";
  for (let i = 1; ; i++) {
    const candidate = i === 1 ? base : `${base}${i}`;
    if (!taken(candidate)) return candidate;
  }
}

const reserved = new Set(
  "arguments await break case catch class const continue debugger default delete do else enum eval export extends false finally for function if implements import in instanceof interface let new null package private protected public return static super switch this throw true try typeof undefined var void while with yield".split(
    " ",
  ),
);
