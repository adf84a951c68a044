import { generateDtsBundle } from "dts-bundle-generator";
import { join } from "node:path";

/**
 * The kit's types as one file that needs no other, for the editors of makers. Members marked
 * `@internal` are gone; classes stay distinct from one another and cannot be constructed.
 */
export function kitTypes(root: string): string {
  const [bundled] = generateDtsBundle(
    [
      {
        filePath: join(root, "src/dsl/index.ts"),
        output: { noBanner: true, exportReferencedTypes: false },
      },
    ],
    { preferredConfigPath: join(root, "scripts/types.tsconfig.json") },
  );
  const header = "// Generated from the kit's sources by scripts/build.ts.\n";
  return header + bundled.replace(/^export declare class [^\n]*\{\n[\s\S]*?^\}$/gm, sealed);
}

function sealed(declaration: string): string {
  const members = /^\tconstructor\(/m.test(declaration)
    ? "\t#private;"
    : "\t#private;\n\tprivate constructor();";
  return declaration.replace("{\n", `{\n${members}\n`);
}
