import * as vscode from "vscode";
import { commands, type CommandId } from "./commands/table.ts";
import { Descriptions } from "./describe/documents.ts";
import { Designs } from "./design/designs.ts";
import { Engine } from "./engine.ts";
import { typingHelp } from "./language/index.ts";
import type { Parts } from "./parts.ts";
import { Previews } from "./panel/previews.ts";
import { Settings } from "./settings.ts";
import { Status } from "./status.ts";

/** Everything that works on designs, from the first of them until the extension ends. */
export class Session implements vscode.Disposable {
  readonly #parts: Parts;
  readonly #subscriptions: vscode.Disposable[];

  constructor(extension: vscode.Uri, log: vscode.LogOutputChannel) {
    const settings = new Settings();
    const engine = new Engine(extension, settings, log);
    const designs = new Designs(engine, settings, log);
    const previews = new Previews(extension, designs, settings, log);
    const descriptions = new Descriptions();
    this.#parts = { extension, log, settings, engine, designs, previews, descriptions };
    this.#subscriptions = [
      ...typingHelp(this.#parts),
      new Status(designs, previews, settings),
      descriptions,
      previews,
      designs,
      engine,
      settings,
    ];
  }

  run(command: CommandId, argument: unknown): unknown {
    return commands[command](this.#parts, argument);
  }

  restorePreview(panel: vscode.WebviewPanel, state: unknown): void {
    this.#parts.previews.restore(panel, state);
  }

  dispose(): void {
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}
