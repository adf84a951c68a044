import type { ImportDeclaration, ImportSpecifier } from "@babel/types";
import type { SourceModule } from "../module.ts";
import { exportedName } from "../ports.ts";
import { placed, type Node } from "../tree.ts";
import type { Obstacle } from "../values.ts";
import { insertItem, type Replacement } from "./list.ts";
import { readStyle } from "./style.ts";

/**
 * How the module can write `name` of the package `specifier`: the name it has there already, or
 * the name with the edit that imports it.
 */
export function nameFor(
  module: SourceModule,
  specifier: string,
  name: string,
  at: Node,
): { name: string; replacements: Replacement[] } | { obstacle: Obstacle } {
  const declared = (one: string) => module.scopes.declarations.get(one) ?? 0;
  const taken = { obstacle: { code: "edit-name-taken", args: { name }, node: at } } as const;
  for (const one of module.ports.imports) {
    if (one.specifier !== specifier) continue;
    for (const binding of one.bindings) {
      if (binding.imported !== name && binding.imported !== "*") continue;
      if (declared(binding.local) > 1) return taken;
      const local = binding.imported === "*" ? `${binding.local}.${name}` : binding.local;
      return { name: local, replacements: [] };
    }
  }
  if (declared(name) > 0) return taken;
  return { name, replacements: addImport(module, specifier, name) };
}

function addImport(module: SourceModule, specifier: string, name: string): Replacement[] {
  const { text, tree } = module;
  const style = readStyle(module);
  const imports = tree.program.body.filter((one) => one.type === "ImportDeclaration");
  const braced = imports.find((one) => one.source.value === specifier && takesNames(one));
  if (braced) {
    const named = braced.specifiers.filter((one) => one.type === "ImportSpecifier");
    const open = text.lastIndexOf("{", placed(named[0]).start);
    const index = sortedIndex(named, name);
    return insertItem(text, open, named.map(placed), index, name, style);
  }
  const { quote, braceSpace, semicolon, lineBreak } = style;
  const line = `import {${braceSpace}${name}${braceSpace}} from ${quote}${specifier}${quote}${semicolon}`;
  const last = imports.at(-1);
  const at = last ? placed(last).end : 0;
  return [{ start: at, end: at, text: last ? lineBreak + line : line + lineBreak }];
}

function takesNames(one: ImportDeclaration): boolean {
  return one.importKind !== "type" && one.specifiers.some((part) => part.type === "ImportSpecifier");
}

/** Keeps a sorted list sorted; any other grows at its end. */
function sortedIndex(named: readonly ImportSpecifier[], name: string): number {
  const names = named.map((one) => exportedName(one.imported));
  const sorted = names.every((one, i) => i === 0 || names[i - 1].localeCompare(one, "en") <= 0);
  const index = sorted ? names.findIndex((one) => one.localeCompare(name, "en") > 0) : -1;
  return index < 0 ? names.length : index;
}
