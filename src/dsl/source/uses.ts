import { isCall, type Call } from "./calls.ts";
import type { SourceModule } from "./module.ts";
import type { Binding } from "./scopes.ts";
import { childrenOf, isTypeOnly, placed, type Node } from "./tree.ts";

/** Where the value of an expression goes. */
export interface Destination {
  /** Calls that have it in an argument, innermost first. */
  calls: Call[];
  /** The constant that it, or what is computed of it, is kept in. */
  binding: Binding | undefined;
}

/** Follows the value of a node outwards, as far as its own function or statement goes. */
export function destinationOf(module: SourceModule, node: Node): Destination {
  const calls: Call[] = [];
  let inner = node;
  for (const outer of ancestorsOf(module.tree.program, node)) {
    if (isFunction(outer)) break;
    if (outer.type === "VariableDeclarator") {
      const declared = outer.id.type === "Identifier" ? outer.id : undefined;
      return { calls, binding: declared && module.scopes.declaredBy(declared) };
    }
    if (isCall(outer) && outer.callee !== inner) calls.push(outer);
    inner = outer;
  }
  return { calls, binding: undefined };
}

/** Innermost first. */
function ancestorsOf(root: Node, node: Node): Node[] {
  const { start, end } = placed(node);
  const chain: Node[] = [];
  let at: Node | undefined = root;
  while (at && at !== node) {
    chain.push(at);
    // `{ width }` holds its name twice, as key and as value; the value comes last.
    at = childrenOf(at).findLast((child) => {
      if (isTypeOnly(child)) return false;
      const range = placed(child);
      return range.start <= start && end <= range.end;
    });
  }
  return chain.reverse();
}

const isFunction = (node: Node) =>
  node.type === "FunctionDeclaration" ||
  node.type === "FunctionExpression" ||
  node.type === "ArrowFunctionExpression" ||
  node.type === "ObjectMethod" ||
  node.type === "ClassMethod" ||
  node.type === "ClassPrivateMethod";
