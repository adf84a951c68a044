import type { CallExpression, File, NewExpression, OptionalCallExpression } from "@babel/types";
import { childrenOf, isTypeOnly, isTypeWrapper, placed, skipTrivia, type Node, type Placed } from "./tree.ts";

export type Call = Placed<CallExpression | OptionalCallExpression | NewExpression>;

/** The calls of one module by the offset at which JavaScript says that they are made. */
export interface Calls {
  /** The call made at `offset`, or the innermost one around it, or undefined. */
  at(offset: number): Call | undefined;
  /** JavaScript says `offset` for this call, not for something inside it. */
  isMadeAt(call: Call, offset: number): boolean;
  /** Where the name of what is called begins: `circle` in `profile.circle(…)`. */
  nameStart(call: Call): number;
  /** Where the call begins for a reader: `profile` in `profile.circle(…)`, `at` in `….circle(…).at(…)`. */
  readStart(call: Call): number;
}

export function readCalls(text: string, tree: File): Calls {
  const byOffset = new Map<number, Call>();
  const all: Call[] = [];
  const step = (node: Node): void => {
    if (isTypeOnly(node)) return;
    if (isCall(node)) {
      byOffset.set(madeAt(text, node), node);
      all.push(node);
    }
    for (const child of childrenOf(node)) step(child);
  };
  step(tree.program);
  return {
    at(offset) {
      const exact = byOffset.get(offset);
      if (exact) return exact;
      let innermost: Call | undefined;
      for (const call of all) {
        if (call.start <= offset && offset < call.end && (!innermost || call.start >= innermost.start))
          innermost = call;
      }
      return innermost;
    },
    isMadeAt: (call, offset) => byOffset.get(offset) === call,
    nameStart: (call) => placed(namedBy(call)).start,
    readStart(call) {
      let node: Node = call.callee;
      while (isTypeWrapper(node) || isMember(node)) {
        if (isTypeWrapper(node)) node = node.expression;
        else node = node.object;
      }
      return node.type === "Identifier" || call.type === "NewExpression"
        ? call.start
        : placed(namedBy(call)).start;
    },
  };
}

export function isCall(node: Node): node is Call {
  return (
    node.type === "CallExpression" || node.type === "OptionalCallExpression" || node.type === "NewExpression"
  );
}

type Member = Extract<Node, { type: "MemberExpression" | "OptionalMemberExpression" }>;

function isMember(node: Node): node is Member {
  return node.type === "MemberExpression" || node.type === "OptionalMemberExpression";
}

/** The node that names what is called. */
function namedBy(call: Call): Node {
  let callee: Node = call.callee;
  while (isTypeWrapper(callee)) callee = callee.expression;
  return isMember(callee) ? callee.property : callee;
}

/**
 * The offset of a stack frame at a call, as V8 gives it once types are blanks: the called name,
 * or the property of a member; `new` for a construction; the opening bracket where what is
 * called is neither a plain name nor a plain member, and in `f?.(…)`.
 */
function madeAt(text: string, call: Call): number {
  if (call.type === "NewExpression") return call.start;
  let callee: Node = call.callee;
  let bracketed = isParenthesized(callee);
  while (isTypeWrapper(callee)) {
    callee = callee.expression;
    bracketed ||= isParenthesized(callee);
  }
  const optionalCall = call.type === "OptionalCallExpression" && call.optional;
  if (!bracketed && !optionalCall) {
    if (callee.type === "Identifier" || callee.type === "Super") return placed(callee).start;
    if (isMember(callee) && !callee.computed) return placed(callee.property).start;
  }
  return openingBracket(text, call);
}

/** The offset of the bracket before the arguments; of the end for `new Thing`. */
export function openingBracket(text: string, call: Call): number {
  let offset = call.typeArguments ? placed(call.typeArguments).end : placed(call.callee).end;
  for (;;) {
    offset = skipTrivia(text, offset);
    if (text.startsWith("?.", offset)) offset += 2;
    else if (text[offset] === ")" || text[offset] === "!") offset += 1;
    else return offset;
  }
}

function isParenthesized(node: Node): boolean {
  return node.extra?.parenthesized === true;
}
