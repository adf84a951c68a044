import { findNodeAtLocation, modify, parseTree } from "jsonc-parser";
import type { Change, TextEdit } from "../../../../shared/change.ts";
import { findValue } from "../values.ts";
import type { CallSite } from "./change.ts";

/**
 * The edits that set an option where it comes from: the `defaults` of `slabwright.json`, comments
 * kept. Undefined where the call says it itself, or neither does.
 */
export function editsOfDefault(
  change: Extract<Change, { kind: "setOption" }>,
  { module, call }: CallSite,
  settings: { file: string; text: string },
): TextEdit[] | undefined {
  const written = findValue(module, call, change.argument, change.path);
  if (written.kind !== "no-key" && written.kind !== "no-argument") return undefined;
  const { file, text } = settings;
  const path = ["defaults", ...change.path];
  const tree = parseTree(text);
  if (!tree || !findNodeAtLocation(tree, path)) return undefined;
  const edits = modify(text, path, change.value, { formattingOptions: { insertSpaces: true, tabSize: 2 } });
  return edits.map(({ offset, length, content }) => ({
    file,
    start: offset,
    end: offset + length,
    text: content,
  }));
}
