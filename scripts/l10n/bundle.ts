import { readFile, readdir } from "node:fs/promises";
import { join } from "node:path";
import ts from "typescript";
import { messages } from "../../shared/messages.ts";
import { problemMessages } from "../../shared/problems.ts";

/** The only file that may hand over a sentence that does not stand in its own text: a template by its code. */
const byCode = "src/extension/language/localize.ts";

/** The bundle as it belongs on the disk: each sentence under itself, by alphabet. */
export async function bundleText(root: string): Promise<string> {
  const sentences = new Set<string>([...Object.values(messages), ...Object.values(problemMessages)]);
  const folder = join(root, "src", "extension");
  for (const name of await readdir(folder, { recursive: true })) {
    if (!name.endsWith(".ts")) continue;
    const path = join("src", "extension", name);
    for (const sentence of sentencesIn(await readFile(join(root, path), "utf8"), path))
      sentences.add(sentence);
  }
  const sorted = [...sentences].sort();
  return JSON.stringify(Object.fromEntries(sorted.map((one) => [one, one])), null, 2) + "\n";
}

/** The first arguments of `l10n.t(…)` in a file of the extension; one that is no plain text throws. */
export function sentencesIn(text: string, path: string): string[] {
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true);
  const found: string[] = [];
  const step = (node: ts.Node): void => {
    if (ts.isCallExpression(node) && /(^|\.)l10n\.t$/.test(node.expression.getText(source))) {
      const [first] = node.arguments;
      if (ts.isStringLiteralLike(first)) found.push(first.text);
      else if (path !== byCode) {
        const { line } = source.getLineAndCharacterOfPosition(node.getStart(source));
        throw new Error(`${path}:${line + 1}: l10n.t takes a sentence that stands there as plain text`);
      }
    }
    ts.forEachChild(node, step);
  };
  step(source);
  return found;
}
