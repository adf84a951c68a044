/**
 * The measuring side of `npm run bench:editor`, in the extension host: puts the cursor where a key
 * is to be pressed, asks for it, and reports what was painted after it.
 */
import * as vscode from "vscode";
import { openDesign, showPreview } from "../inside/design.ts";
import { report } from "../inside/report.ts";
import type { Painted } from "../../../src/extension/panel/painted.ts";

/** What the other side is to do, or has to note. */
export type BenchLine =
  /** Press this key now. */
  | { press: string }
  /** The text had changed at `touched`, milliseconds since 1970; `painted` came of it. */
  | { kind: "coarse" | "empty" | "fine"; touched: number; painted: Painted };

const keystrokes = Number(process.env.SLABWRIGHT_BENCH_KEYS ?? 30);
const now = () => performance.timeOrigin + performance.now();

function nextEdit(document: vscode.TextDocument): Promise<number> {
  return new Promise((resolve) => {
    const listening = vscode.workspace.onDidChangeTextDocument((event) => {
      if (event.document !== document || event.contentChanges.length === 0) return;
      listening.dispose();
      resolve(now());
    });
  });
}

/** The next fine picture after build `before`. */
async function nextPicture(uri: vscode.Uri, before: number): Promise<Painted> {
  for (;;) {
    const painted = await showPreview(uri);
    if (painted.build > before && painted.quality === "idle") return painted;
    await new Promise((resolve) => setTimeout(resolve, 4));
  }
}

export async function run(): Promise<void> {
  const editor = await openDesign(process.env.SLABWRIGHT_BENCH_DESIGN ?? "octagon-beaker.mold.ts");
  const { document } = editor;
  const { uri } = document;
  let last = await nextPicture(uri, 0);
  const press = async (range: vscode.Range, key: string, kind: "coarse" | "empty") => {
    await vscode.window.showTextDocument(document, editor.viewColumn);
    editor.selection = new vscode.Selection(range.start, range.end);
    // What the cursor lights is a picture of its own, long on the screen when somebody types.
    await new Promise((resolve) => setTimeout(resolve, 1000));
    const edited = nextEdit(document);
    report({ press: key } satisfies BenchLine);
    const touched = await edited;
    // At rest before the next key, as after a number that somebody looks at.
    last = await nextPicture(uri, last.build);
    if (last.coarse) report({ kind, touched, painted: last.coarse } satisfies BenchLine);
    report({ kind: "fine", touched, painted: last } satisfies BenchLine);
  };
  for (let i = 0; i < keystrokes; i++) {
    // One digit of the height.
    const height = /lip\.at\(\d*(\d)\)/.exec(document.getText());
    if (!height) throw new Error("the design has no lip.at(…)");
    const digit = document.positionAt(height.index + height[0].length - 2);
    const other = (Number(height[1]) + 3) % 10;
    await press(new vscode.Range(digit, digit.translate(0, 1)), String(other), "coarse");
    // A letter of a comment: everything happens, and nothing is to be sent.
    const comment = new vscode.Position(0, 4);
    await press(new vscode.Range(comment, comment.translate(0, 1)), "abc"[i % 3], "empty");
  }
}
