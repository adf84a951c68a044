import * as vscode from "vscode";
import { existsSync } from "node:fs";
import type { Engine } from "../engine.ts";
import type { Settings } from "../settings.ts";
import { Design } from "./design.ts";
import { isDesign } from "./identity.ts";

/**
 * The designs that live: those visible in an editor or with a preview, in a trusted window. One
 * that is only open in a tab keeps what was found; when its last tab and preview close, it goes.
 */
export class Designs implements vscode.Disposable {
  readonly #engine: Engine;
  readonly #settings: Settings;
  readonly #log: vscode.LogOutputChannel;
  readonly #designs = new Map<string, Design>();
  readonly #previewed = new Map<string, vscode.Uri>();
  readonly #borrowed = new Map<string, number>();
  readonly #opened = new vscode.EventEmitter<Design>();
  readonly #closed = new vscode.EventEmitter<vscode.Uri>();
  readonly #stateChanged = new vscode.EventEmitter<void>();
  readonly #subscriptions: vscode.Disposable[];

  /** A design begins to live. */
  readonly onDidOpen = this.#opened.event;

  /** A design no longer lives: nobody looks at it, or its file is gone. */
  readonly onDidClose = this.#closed.event;

  /** Something about some design has changed, or one has opened or closed. */
  readonly onDidChangeState = this.#stateChanged.event;

  constructor(engine: Engine, settings: Settings, log: vscode.LogOutputChannel) {
    this.#engine = engine;
    this.#settings = settings;
    this.#log = log;
    const files = vscode.workspace.createFileSystemWatcher("**/*.{ts,js,json,svg,stl}");
    this.#subscriptions = [
      this.#opened,
      this.#closed,
      this.#stateChanged,
      this.#opened.event((design) => {
        design.onDidChange(() => this.#stateChanged.fire());
        this.#stateChanged.fire();
      }),
      this.#closed.event(() => this.#stateChanged.fire()),
      files,
      files.onDidChange((uri) => this.#fileChanged(uri)),
      files.onDidCreate((uri) => this.#fileChanged(uri)),
      files.onDidDelete((uri) => this.#fileChanged(uri)),
      engine.onDidRestart(() => this.#touchAll()),
      settings.onDidChange(() => this.#reconcile()),
      vscode.workspace.onDidGrantWorkspaceTrust(() => this.#reconcile()),
      vscode.window.onDidChangeVisibleTextEditors(() => this.#reconcile()),
      vscode.window.tabGroups.onDidChangeTabs(() => this.#reconcile()),
      vscode.workspace.onDidCloseTextDocument((document) => this.#textClosed(document.uri)),
      vscode.workspace.onDidSaveTextDocument((document) => {
        if (this.#settings.evaluate === "onSave") this.#evaluate(document.uri);
      }),
      vscode.workspace.onDidChangeTextDocument((event) => {
        if (event.contentChanges.length === 0) return;
        for (const design of this.#designs.values()) design.edited(event, this.#onType(design));
      }),
    ];
    this.#reconcile();
  }

  get(uri: vscode.Uri): Design | undefined {
    return this.#designs.get(uri.toString());
  }

  /** By the settings designs are run without being asked for. */
  get byThemselves(): boolean {
    return this.#settings.evaluate !== "onCommand";
  }

  get all(): Iterable<Design> {
    return this.#designs.values();
  }

  /** A preview of this design is open, until the result is disposed. */
  preview(uri: vscode.Uri): vscode.Disposable {
    this.#previewed.set(uri.toString(), uri);
    this.#reconcile();
    return new vscode.Disposable(() => {
      this.#previewed.delete(uri.toString());
      this.#reconcile();
    });
  }

  /** Has the design live while `work` runs, whether somebody looks at it or not. Trusted windows only. */
  async use<T>(uri: vscode.Uri, work: (design: Design) => Promise<T>): Promise<T> {
    const key = uri.toString();
    this.#borrowed.set(key, (this.#borrowed.get(key) ?? 0) + 1);
    try {
      return await work(this.#open(uri));
    } finally {
      const left = (this.#borrowed.get(key) ?? 1) - 1;
      if (left > 0) this.#borrowed.set(key, left);
      else this.#borrowed.delete(key);
      this.#reconcile();
    }
  }

  #open(uri: vscode.Uri): Design {
    const known = this.get(uri);
    if (known) return known;
    const design = new Design(uri, this.#engine, this.#log);
    this.#designs.set(uri.toString(), design);
    this.#opened.fire(design);
    return design;
  }

  /** Opens what came into sight and closes what nobody has any more. */
  #reconcile(): void {
    if (!vscode.workspace.isTrusted) return;
    const inSight = new Map(this.#previewed);
    for (const { document } of vscode.window.visibleTextEditors) {
      if (document.languageId === "typescript" && isDesign(document.uri))
        inSight.set(document.uri.toString(), document.uri);
    }
    for (const [key, design] of this.#designs) {
      const wanted = inSight.has(key) ? !this.missing(design.uri) : hasTab(design.uri);
      if (wanted || this.#borrowed.has(key)) continue;
      this.#designs.delete(key);
      design.dispose();
      this.#closed.fire(design.uri);
    }
    for (const uri of inSight.values()) {
      if (this.missing(uri)) continue;
      const design = this.#open(uri);
      // A design that was out of sight while its text changed has something to catch up with.
      if (this.byThemselves && !design.current && !design.busy) design.evaluateSoon();
    }
  }

  #inSight(design: Design): boolean {
    const key = design.uri.toString();
    return (
      this.#previewed.has(key) ||
      vscode.window.visibleTextEditors.some((editor) => editor.document.uri.toString() === key)
    );
  }

  /** There is neither a file of this name nor a tab with its text. */
  missing(uri: vscode.Uri): boolean {
    return !existsSync(uri.fsPath) && !hasTab(uri);
  }

  /** A keystroke is reason enough to build this design. */
  #onType(design: Design): boolean {
    return this.#settings.evaluate === "onType" && this.#inSight(design);
  }

  /** A document is no longer open: what is on the disk counts again. */
  #textClosed(uri: vscode.Uri): void {
    if (isDesign(uri)) this.#reconcile();
    for (const design of this.#designs.values()) {
      if (design.concerns(uri)) design.touch(this.#onType(design));
    }
  }

  /** A file on the disk has changed, come or gone; the text of open ones is told of by their documents. */
  #fileChanged(uri: vscode.Uri): void {
    if (isDesign(uri)) this.#reconcile();
    if (isOpen(uri)) return;
    for (const design of this.#designs.values()) {
      if (!design.concerns(uri)) continue;
      design.touch(this.byThemselves && this.#inSight(design));
    }
  }

  #evaluate(uri: vscode.Uri): void {
    for (const design of this.#designs.values()) {
      if (design.concerns(uri) && this.#inSight(design)) design.evaluateSoon();
    }
  }

  #touchAll(): void {
    for (const design of this.#designs.values()) {
      design.touch(this.byThemselves && this.#inSight(design));
    }
  }

  dispose(): void {
    for (const design of this.#designs.values()) design.dispose();
    this.#designs.clear();
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}

function isOpen(uri: vscode.Uri): boolean {
  return vscode.workspace.textDocuments.some(
    (document) => !document.isClosed && document.uri.toString() === uri.toString(),
  );
}

function hasTab(uri: vscode.Uri): boolean {
  return vscode.window.tabGroups.all.some(({ tabs }) =>
    tabs.some(({ input }) => input instanceof vscode.TabInputText && input.uri.toString() === uri.toString()),
  );
}
