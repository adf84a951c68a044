import type { File, Identifier, ImportDeclaration, Node, StringLiteral } from "@babel/types";
import { isTypeOnly, placed } from "./tree.ts";

export interface ImportBinding {
  /** `default`, `*` for the whole module, or the exported name. */
  imported: string;
  local: string;
  /** Offsets of the imported name. */
  start: number;
  end: number;
}

/** One `import … from` or `export … from` that is there when the program runs. */
export interface ModuleImport {
  specifier: string;
  /** Offsets of the specifier with its quotes. */
  start: number;
  end: number;
  bindings: ImportBinding[];
  /** Names passed on; `exported` is null for `export * from`. */
  passed: { imported: string; exported: string | null; start: number; end: number }[];
}

/** What a module takes and what it gives. */
export interface Ports {
  imports: ModuleImport[];
  /** Exported name → name in the module. */
  exports: Map<string, string>;
  /** `expression` when the default export has no name in the module. */
  defaultKind: "none" | "expression" | "declaration";
}

export function readPorts(tree: File): Ports {
  const ports: Ports = { imports: [], exports: new Map(), defaultKind: "none" };
  for (const statement of tree.program.body) {
    if (isTypeOnly(statement)) continue;
    switch (statement.type) {
      case "ImportDeclaration":
        readImport(statement, ports);
        break;
      case "ExportNamedDeclaration": {
        if (statement.source) {
          const { start, end } = placed(statement.source);
          const specifiers = statement.specifiers.filter((one) => !isTypeOnly(one));
          if (statement.specifiers.length > 0 && specifiers.length === 0) break;
          ports.imports.push({
            specifier: statement.source.value,
            start,
            end,
            bindings: [],
            passed: specifiers.map((one) => ({
              imported: one.type === "ExportSpecifier" ? exportedName(one.local) : "*",
              exported: exportedName(one.exported),
              start: placed(one).start,
              end: placed(one).end,
            })),
          });
          break;
        }
        for (const specifier of statement.specifiers) {
          if (specifier.type === "ExportSpecifier" && !isTypeOnly(specifier))
            giveName(ports, exportedName(specifier.exported), exportedName(specifier.local));
        }
        const declaration = statement.declaration;
        if (!declaration || isTypeOnly(declaration)) break;
        if (declaration.type === "VariableDeclaration") {
          for (const declarator of declaration.declarations)
            for (const { name } of boundNames(declarator.id)) ports.exports.set(name, name);
        } else if ("id" in declaration && declaration.id?.type === "Identifier") {
          ports.exports.set(declaration.id.name, declaration.id.name);
        }
        break;
      }
      case "ExportDefaultDeclaration": {
        const { declaration } = statement;
        if (isTypeOnly(declaration)) break;
        const named =
          (declaration.type === "FunctionDeclaration" || declaration.type === "ClassDeclaration") &&
          declaration.id;
        if (named) {
          ports.exports.set("default", named.name);
          ports.defaultKind = "declaration";
        } else ports.defaultKind = "expression";
        break;
      }
      case "ExportAllDeclaration": {
        const { start, end } = placed(statement.source);
        ports.imports.push({
          specifier: statement.source.value,
          start,
          end,
          bindings: [],
          passed: [{ imported: "*", exported: null, start, end }],
        });
        break;
      }
      default:
    }
  }
  return ports;
}

function giveName(ports: Ports, exported: string, local: string): void {
  ports.exports.set(exported, local);
  if (exported === "default") ports.defaultKind = "declaration";
}

function readImport(statement: ImportDeclaration, ports: Ports): void {
  const specifiers = statement.specifiers.filter((one) => !isTypeOnly(one));
  if (statement.specifiers.length > 0 && specifiers.length === 0) return;
  const { start, end } = placed(statement.source);
  ports.imports.push({
    specifier: statement.source.value,
    start,
    end,
    passed: [],
    bindings: specifiers.map((one) => {
      const place = placed(one.type === "ImportSpecifier" ? one.imported : one.local);
      const imported =
        one.type === "ImportDefaultSpecifier"
          ? "default"
          : one.type === "ImportNamespaceSpecifier"
            ? "*"
            : exportedName(one.imported);
      return { imported, local: one.local.name, start: place.start, end: place.end };
    }),
  });
}

export function exportedName(node: Identifier | StringLiteral): string {
  return node.type === "StringLiteral" ? node.value : node.name;
}

/** The identifiers that a pattern binds. */
export function boundNames(pattern: Node | null): Identifier[] {
  switch (pattern?.type) {
    case "Identifier":
      return [pattern];
    case "ObjectPattern":
      return pattern.properties.flatMap((one) =>
        boundNames(one.type === "RestElement" ? one.argument : one.value),
      );
    case "ArrayPattern":
      return pattern.elements.flatMap((one) => boundNames(one));
    case "AssignmentPattern":
      return boundNames(pattern.left);
    case "RestElement":
      return boundNames(pattern.argument);
    case "TSParameterProperty":
      return boundNames(pattern.parameter);
    default:
      return [];
  }
}
