import type { File, Identifier, VariableDeclarator } from "@babel/types";
import { boundNames, exportedName } from "./ports.ts";
import { childrenOf, isTypeOnly, isTypeWrapper, type Node } from "./tree.ts";

export interface Binding {
  name: string;
  kind: "const" | "let" | "var" | "function" | "class" | "param" | "import" | "catch";
  /** The identifier that declares it. */
  declared: Identifier;
  /** `const x = …` with a plain name. */
  declarator?: VariableDeclarator;
  /** Where an import comes from. */
  specifier?: string;
  /** Uses as a value, without the declaration. */
  uses: Identifier[];
  /** A use changes it inside a function below the one that declares it. */
  changedLater: boolean;
  exported: boolean;
}

/** What each name in a module means. */
export interface Scopes {
  bindingOf(use: Identifier): Binding | undefined;
  /** What an identifier declares; undefined for a use. */
  declaredBy(identifier: Identifier): Binding | undefined;
  /** Names declared at the top of the module. */
  top: ReadonlyMap<string, Binding>;
  /** In how many scopes a name is declared. */
  declarations: ReadonlyMap<string, number>;
}

interface Scope {
  names: Map<string, Binding>;
  outer: Scope | null;
  /** The scope of the function around it; that is where `var` lands. */
  home: Scope;
}

export function readScopes(tree: File): Scopes {
  const declarations = new Map<string, number>();
  const declaredBy = new Map<Identifier, Binding>();
  const uses: { identifier: Identifier; scope: Scope; changes: boolean }[] = [];
  const exportedLocals: string[] = [];

  const open = (outer: Scope | null, isHome: boolean): Scope => {
    const scope: Scope = { names: new Map(), outer, home: null as never };
    scope.home = isHome || !outer ? scope : outer.home;
    return scope;
  };
  const declare = (
    scope: Scope,
    kind: Binding["kind"],
    declared: Identifier,
    more: Partial<Binding> = {},
  ) => {
    // A second `var x` is the same binding.
    if (scope.names.has(declared.name)) return;
    declarations.set(declared.name, (declarations.get(declared.name) ?? 0) + 1);
    const binding: Binding = {
      name: declared.name,
      kind,
      declared,
      uses: [],
      changedLater: false,
      exported: false,
      ...more,
    };
    scope.names.set(declared.name, binding);
    declaredBy.set(declared, binding);
  };
  const use = (identifier: Identifier, scope: Scope, changes = false) =>
    uses.push({ identifier, scope, changes });

  /** Values inside a pattern: defaults and computed keys. */
  const visitPatternValues = (pattern: Node | null, scope: Scope): void => {
    switch (pattern?.type) {
      case "ObjectPattern":
        for (const one of pattern.properties) {
          if (one.type === "RestElement") visitPatternValues(one.argument, scope);
          else {
            if (one.computed) visit(one.key, scope);
            visitPatternValues(one.value, scope);
          }
        }
        return;
      case "ArrayPattern":
        for (const one of pattern.elements) visitPatternValues(one, scope);
        return;
      case "AssignmentPattern":
        visitPatternValues(pattern.left, scope);
        visit(pattern.right, scope);
        return;
      case "RestElement":
        visitPatternValues(pattern.argument, scope);
        return;
      default:
    }
  };

  /** The left side of an assignment. */
  const visitTarget = (target: Node, scope: Scope): void => {
    for (const name of boundNames(target)) use(name, scope, true);
    if (target.type === "ObjectPattern" || target.type === "ArrayPattern") visitPatternValues(target, scope);
    else if (isTypeWrapper(target)) visitTarget(target.expression, scope);
    else if (target.type !== "Identifier") visit(target, scope);
  };

  const visitFunction = (node: Node & { params: Node[]; body: Node }, scope: Scope): void => {
    const inner = open(scope, true);
    for (const param of node.params) {
      for (const name of boundNames(param)) declare(inner, "param", name);
      visitPatternValues(param, inner);
    }
    visit(node.body, inner);
  };

  const visitAll = (nodes: readonly Node[], scope: Scope) => {
    for (const node of nodes) visit(node, scope);
  };

  const visit = (node: Node, scope: Scope): void => {
    if (isTypeOnly(node)) return;
    switch (node.type) {
      case "Identifier":
        use(node, scope);
        return;
      case "ImportDeclaration":
        for (const one of node.specifiers)
          if (!isTypeOnly(one)) declare(scope, "import", one.local, { specifier: node.source.value });
        return;
      case "ExportAllDeclaration":
        return;
      case "ExportNamedDeclaration":
        if (node.source) return;
        for (const one of node.specifiers) {
          if (one.type !== "ExportSpecifier" || isTypeOnly(one) || one.local.type !== "Identifier") continue;
          use(one.local, scope);
          exportedLocals.push(exportedName(one.local));
        }
        if (node.declaration) {
          visit(node.declaration, scope);
          if (node.declaration.type === "VariableDeclaration")
            for (const declarator of node.declaration.declarations)
              exportedLocals.push(...boundNames(declarator.id).map((one) => one.name));
          else if ("id" in node.declaration && node.declaration.id?.type === "Identifier")
            exportedLocals.push(node.declaration.id.name);
        }
        return;
      case "ExportDefaultDeclaration":
        visit(node.declaration, scope);
        return;
      case "VariableDeclaration":
        for (const declarator of node.declarations) {
          const kind = node.kind === "let" || node.kind === "var" ? node.kind : "const";
          const plain = declarator.id.type === "Identifier" && declarator.init ? { declarator } : {};
          for (const name of boundNames(declarator.id))
            declare(kind === "var" ? scope.home : scope, kind, name, plain);
          visitPatternValues(declarator.id, scope);
          if (declarator.init) visit(declarator.init, scope);
        }
        return;
      case "FunctionDeclaration":
        if (node.id) declare(scope, "function", node.id);
        visitFunction(node, scope);
        return;
      case "FunctionExpression": {
        const around = open(scope, false);
        if (node.id) declare(around, "function", node.id);
        visitFunction(node, around);
        return;
      }
      case "ArrowFunctionExpression":
        visitFunction(node, scope);
        return;
      case "ObjectMethod":
      case "ClassMethod":
        if (node.computed) visit(node.key, scope);
        visitFunction(node, scope);
        return;
      case "ClassPrivateMethod":
        visitFunction(node, scope);
        return;
      case "ClassDeclaration":
      case "ClassExpression": {
        if (node.type === "ClassDeclaration" && node.id) declare(scope, "class", node.id);
        const around = open(scope, false);
        if (node.type === "ClassExpression" && node.id) declare(around, "class", node.id);
        if (node.superClass) visit(node.superClass, around);
        visitAll(node.body.body, around);
        return;
      }
      case "ClassProperty":
      case "ClassAccessorProperty":
        if (node.computed) visit(node.key, scope);
        if (node.value) visit(node.value, open(scope, true));
        return;
      case "ClassPrivateProperty":
        if (node.value) visit(node.value, open(scope, true));
        return;
      case "StaticBlock":
        visitAll(node.body, open(scope, true));
        return;
      case "BlockStatement":
      case "SwitchStatement":
      case "ForStatement":
        visitAll(childrenOf(node), open(scope, false));
        return;
      case "ForInStatement":
      case "ForOfStatement": {
        const inner = open(scope, false);
        if (node.left.type === "VariableDeclaration") visit(node.left, inner);
        else visitTarget(node.left, inner);
        visit(node.right, inner);
        visit(node.body, inner);
        return;
      }
      case "CatchClause": {
        const inner = open(scope, false);
        for (const name of boundNames(node.param ?? null)) declare(inner, "catch", name);
        visitPatternValues(node.param ?? null, inner);
        visit(node.body, inner);
        return;
      }
      case "AssignmentExpression":
        visitTarget(node.left, scope);
        visit(node.right, scope);
        return;
      case "UpdateExpression":
        visitTarget(node.argument, scope);
        return;
      case "MemberExpression":
      case "OptionalMemberExpression":
        visit(node.object, scope);
        if (node.computed) visit(node.property, scope);
        return;
      case "ObjectProperty":
        if (node.computed) visit(node.key, scope);
        visit(node.value, scope);
        return;
      case "LabeledStatement":
        visit(node.body, scope);
        return;
      case "BreakStatement":
      case "ContinueStatement":
      case "MetaProperty":
        return;
      default:
        visitAll(childrenOf(node), scope);
    }
  };

  const top = open(null, true);
  visitAll(tree.program.body, top);

  const meaning = new Map<Identifier, Binding>();
  for (const { identifier, scope, changes } of uses) {
    let at: Scope | null = scope;
    while (at && !at.names.has(identifier.name)) at = at.outer;
    const binding = at?.names.get(identifier.name);
    if (!at || !binding) continue;
    meaning.set(identifier, binding);
    binding.uses.push(identifier);
    if (changes && scope.home !== at.home) binding.changedLater = true;
  }
  for (const name of exportedLocals) {
    const binding = top.names.get(name);
    if (binding) binding.exported = true;
  }
  return {
    bindingOf: (identifier) => meaning.get(identifier),
    declaredBy: (identifier) => declaredBy.get(identifier),
    top: top.names,
    declarations,
  };
}
