import type { File, Node } from "@babel/types";
import type { MessageArgs } from "../../../shared/finding.ts";
import type { ProblemCode } from "../../../shared/problems.ts";
import { SourceError } from "./error.ts";
import { isTypeOnly, placed, walkValues } from "./tree.ts";

/** Throws SourceError at the first construct that taking the types away does not make runnable. */
export function refuseUnsupported(tree: File): void {
  let defaults = 0;
  walkValues(tree.program, (node, around) => {
    const { start, end } = placed(node);
    const refuse = (code: ProblemCode, args: MessageArgs = {}) => {
      throw new SourceError(code, args, start, end);
    };
    switch (node.type) {
      case "TSEnumDeclaration":
        return refuse("no-enum", { name: node.id.name });
      case "TSModuleDeclaration":
        return refuse("no-namespace");
      case "TSParameterProperty":
        return refuse("no-parameter-property");
      case "TSTypeAssertion":
        return refuse("no-angle-assertion");
      case "TSImportEqualsDeclaration":
        return refuse("no-import-equals");
      case "TSExportAssignment":
        return refuse("no-export-equals");
      case "ImportExpression":
        return refuse("no-dynamic-import");
      case "MetaProperty":
        if (node.meta.name === "import") refuse("no-import-meta");
        return;
      case "AwaitExpression":
        if (!insideFunction(around)) refuse("no-top-level-await");
        return;
      case "ForOfStatement":
        if (node.await && !insideFunction(around)) refuse("no-top-level-await");
        return;
      case "VariableDeclaration":
        if (node.kind === "await using" && !insideFunction(around)) refuse("no-top-level-await");
        return;
      case "ExportDefaultDeclaration":
        if (!isTypeOnly(node.declaration) && ++defaults > 1) refuse("default-twice");
        return;
      default:
    }
  });
}

const functions = new Set([
  "FunctionDeclaration",
  "FunctionExpression",
  "ArrowFunctionExpression",
  "ObjectMethod",
  "ClassMethod",
  "ClassPrivateMethod",
]);

export function isFunction(node: Node): boolean {
  return functions.has(node.type);
}

function insideFunction(around: readonly Node[]): boolean {
  return around.some(isFunction);
}
