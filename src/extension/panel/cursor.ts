import * as vscode from "vscode";
import type { Design } from "../design/design.ts";
import { lightsAt } from "./lights.ts";

/** After the cursor has moved, so that an arrow key held down lights only where it comes to rest. */
const restMs = 60;

/** Tells which calls the cursor lights in one design, in whichever of its files it stands. */
export class Cursor implements vscode.Disposable {
  readonly #light: (calls: number[]) => void;
  readonly #subscriptions: vscode.Disposable[];
  #design: Design | undefined;
  #timer: NodeJS.Timeout | undefined;

  constructor(light: (calls: number[]) => void) {
    this.#light = light;
    this.#subscriptions = [
      vscode.window.onDidChangeTextEditorSelection(() => this.#soon()),
      vscode.window.onDidChangeActiveTextEditor(() => this.#soon()),
    ];
  }

  /** Follows this design from now on, and tells at once. */
  follow(design: Design | undefined): void {
    this.#design = design;
    this.look();
  }

  look(): void {
    clearTimeout(this.#timer);
    const editor = vscode.window.activeTextEditor;
    // While the preview has the focus, what the cursor lit stays lit.
    if (!this.#design || !editor) return;
    const { active } = editor.selection;
    const { calls } = this.#design.state;
    const file = this.#design.toEngine(editor.document.uri);
    this.#light(file === undefined ? [] : lightsAt(calls, file, active.line + 1, active.character + 1));
  }

  #soon(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.look(), restMs);
  }

  dispose(): void {
    clearTimeout(this.#timer);
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}
