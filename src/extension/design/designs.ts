import * as vscode from "vscode";
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
  readonly #subscriptions: vscode.Disposable[];

  /** A design begins to live. */
  readonly onDidOpen = this.#opened.event;

  constructor(engine: Engine, settings: Settings, log: vscode.LogOutputChannel) {
    this.#engine = engine;
    this.#settings = settings;
    this.#log = log;
    const files = vscode.workspace.createFileSystemWatcher("**/*.{ts,js,json,svg,stl}");
    this.#subscriptions = [
      this.#opened,
      files,
      files.onDidChange((uri) => this.#fileChanged(uri)),
      files.onDidCreate((uri) => this.#fileChanged(uri)),
      files.onDidDelete((uri) => this.#fileChanged(uri)),
      engine.onDidRestart(() => this.#touchAll()),
      settings.onDidChange(() => this.#reconcile()),
      vscode.workspace.onDidGrantWorkspaceTrust(() => this.#reconcile()),
      vscode.window.onDidChangeVisibleTextEditors(() => this.#reconcile()),
      vscode.window.tabGroups.onDidChangeTabs(() => this.#reconcile()),
      vscode.workspace.onDidCloseTextDocument((document) => this.#textChanged(document.uri)),
      vscode.workspace.onDidSaveTextDocument((document) => {
        if (this.#settings.evaluate === "onSave") this.#evaluate(document.uri);
      }),
      vscode.workspace.onDidChangeTextDocument(({ document, contentChanges }) => {
        if (contentChanges.length > 0) this.#textChanged(document.uri);
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
    const kept = new Set([...inSight.keys(), ...this.#borrowed.keys()]);
    for (const { tabs } of vscode.window.tabGroups.all) {
      for (const { input } of tabs) {
        if (input instanceof vscode.TabInputText) kept.add(input.uri.toString());
      }
    }
    for (const [key, design] of this.#designs) {
      if (kept.has(key)) continue;
      this.#designs.delete(key);
      design.dispose();
    }
    for (const uri of inSight.values()) {
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

  #textChanged(uri: vscode.Uri): void {
    for (const design of this.#designs.values()) {
      if (!design.concerns(uri)) continue;
      design.touch(this.#settings.evaluate === "onType" && this.#inSight(design));
    }
  }

  /** A file on the disk has changed; open ones are told of by their documents. */
  #fileChanged(uri: vscode.Uri): void {
    const open = vscode.workspace.textDocuments.some(
      (document) => document.uri.toString() === uri.toString(),
    );
    if (open) return;
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
