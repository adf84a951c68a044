import * as vscode from "vscode";
import { join } from "node:path";
import { EngineHost } from "../dsl/engine/host.ts";
import type { Settings } from "./settings.ts";

/**
 * The engine process, started with the first design and not before. Told once in a session when it
 * fails by our own fault; every fault goes to the log.
 */
export class Engine implements vscode.Disposable {
  readonly #enginePath: string;
  readonly #settings: Settings;
  readonly #log: vscode.LogOutputChannel;
  readonly #restarted = new vscode.EventEmitter<void>();
  readonly #subscription: vscode.Disposable;
  #host: EngineHost | undefined;
  #limits = "";
  #told = false;
  #lastFault: unknown;
  #generation = 0;
  /** A new engine holds nothing of what the last one knew. */
  readonly onDidRestart = this.#restarted.event;

  constructor(extension: vscode.Uri, settings: Settings, log: vscode.LogOutputChannel) {
    this.#enginePath = join(extension.fsPath, "dist", "engine.mjs");
    this.#settings = settings;
    this.#log = log;
    this.#subscription = settings.onDidChange(() => {
      if (this.#host && this.#limits !== this.#currentLimits()) this.restart();
    });
  }

  get host(): EngineHost {
    this.#limits = this.#currentLimits();
    return (this.#host ??= new EngineHost({
      enginePath: this.#enginePath,
      timeLimitS: this.#settings.timeLimit,
      memoryLimitMB: this.#settings.memoryLimit,
      onLog: (lines) => {
        for (const line of lines) this.#log.info(line);
      },
      onFault: (fault) => this.fault(fault),
    }));
  }

  /** Counts restarts. */
  get generation(): number {
    return this.#generation;
  }

  restart(): void {
    const old = this.#host;
    this.#host = undefined;
    this.#generation++;
    old?.dispose();
    this.#told = false;
    this.#restarted.fire();
  }

  /** Our own fault: to the log, and once to the maker. */
  fault(what: unknown): void {
    // The engine tells of a fault, and the request that met it rejects with the same.
    if (what === this.#lastFault) return;
    this.#lastFault = what;
    this.#log.error(what instanceof Error ? (what.stack ?? what.message) : String(what));
    if (this.#told) return;
    this.#told = true;
    const restart = vscode.l10n.t("Restart Engine");
    const show = vscode.l10n.t("Show Log");
    void vscode.window
      .showErrorMessage(
        vscode.l10n.t("Slabwright itself has failed; the log says how. Restart the engine to go on."),
        restart,
        show,
      )
      .then((chosen) => {
        if (chosen === restart) this.restart();
        if (chosen === show) this.#log.show();
      });
  }

  #currentLimits(): string {
    return `${this.#settings.timeLimit} ${this.#settings.memoryLimit}`;
  }

  dispose(): void {
    this.#subscription.dispose();
    this.#host?.dispose();
    this.#restarted.dispose();
  }
}
