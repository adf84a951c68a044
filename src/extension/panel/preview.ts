import * as vscode from "vscode";
import { fromPreview, type FromPreview, type ToPreview } from "../../../shared/preview.ts";
import type { Design } from "../design/design.ts";
import type { Designs } from "../design/designs.ts";
import { designName } from "../design/identity.ts";
import { writeParam } from "../design/sliders.ts";
import { openFindingHelp } from "../help.ts";
import type { Settings } from "../settings.ts";
import { Cursor } from "./cursor.ts";
import { previewHtml } from "./html.ts";
import { showMessage } from "./messages.ts";
import { noticeFor } from "./notice.ts";
import { paintedOf, type Painted } from "./painted.ts";
import { Transport } from "./transport.ts";
import { previewWordList } from "./words.ts";

export type { Painted };

/**
 * One preview panel. The design holds everything; the page is told the newest state when it is
 * visible and has painted the one before. A state that comes meanwhile replaces the one waiting.
 */
export class Preview implements vscode.Disposable {
  readonly panel: vscode.WebviewPanel;
  readonly #extension: vscode.Uri;
  readonly #designs: Designs;
  readonly #settings: Settings;
  readonly #log: vscode.LogOutputChannel;
  readonly #transport = new Transport((message) => this.#post(message), showMessage);
  readonly #cursor = new Cursor((calls) => this.#light(calls));
  readonly #subscriptions: vscode.Disposable[];
  /** Something was painted, or the design has changed. */
  readonly #looked = new vscode.EventEmitter<void>();
  readonly #closed = new vscode.EventEmitter<void>();
  #uri: vscode.Uri;
  #interest: vscode.Disposable;
  #following: vscode.Disposable | undefined;
  #written: vscode.Uri | undefined;
  #ready = false;
  #busy = false;
  #lit = "";
  #last: Painted | undefined;

  readonly onDidClose = this.#closed.event;

  constructor(
    panel: vscode.WebviewPanel,
    uri: vscode.Uri,
    extension: vscode.Uri,
    designs: Designs,
    settings: Settings,
    log: vscode.LogOutputChannel,
  ) {
    this.panel = panel;
    this.#uri = uri;
    this.#extension = extension;
    this.#designs = designs;
    this.#settings = settings;
    this.#log = log;
    const dist = vscode.Uri.joinPath(extension, "dist");
    panel.title = titleOf(uri);
    panel.iconPath = vscode.Uri.joinPath(extension, "media", "icon.png");
    panel.webview.options = { enableScripts: true, localResourceRoots: [dist] };
    this.#subscriptions = [
      this.#looked,
      this.#closed,
      this.#cursor,
      panel.onDidDispose(() => this.dispose()),
      panel.onDidChangeViewState(() => {
        this.#update();
        this.#cursor.look();
      }),
      panel.webview.onDidReceiveMessage((message: unknown) => this.#hear(message)),
      designs.onDidOpen((design) => {
        if (design.uri.toString() === this.#uri.toString()) this.#follow(design);
      }),
      designs.onDidClose((closed) => {
        if (closed.toString() === this.#uri.toString()) this.#follow(undefined);
      }),
      vscode.workspace.onDidGrantWorkspaceTrust(() => this.#update()),
      settings.onDidChange(() => {
        if (this.#ready) this.#introduce();
      }),
    ];
    this.#interest = designs.preview(uri);
    this.#follow(designs.get(uri));
    panel.webview.html = previewHtml(panel.webview, dist);
  }

  get uri(): vscode.Uri {
    return this.#uri;
  }

  /** The file that `undo` in the preview is about: where a slider wrote last, else the design. */
  get undoes(): vscode.Uri {
    return this.#written ?? this.#uri;
  }

  /** The design's file has been given another name or place. */
  moveTo(uri: vscode.Uri): void {
    this.#uri = uri;
    this.#written = undefined;
    this.panel.title = titleOf(uri);
    if (this.#ready) this.#introduce();
    const interest = this.#designs.preview(uri);
    this.#interest.dispose();
    this.#interest = interest;
    this.#follow(this.#designs.get(uri));
  }

  /** What the next text that is painted shows; at once when nothing is under way. Undefined when it closes before. */
  painted(): Promise<Painted | undefined> {
    const settled = () => {
      const design = this.#designs.get(this.uri);
      return design && !design.busy && design.state.build > 0 && this.#last?.build === design.state.build;
    };
    if (!this.#designs.get(this.uri)) return Promise.resolve(undefined);
    if (settled()) return Promise.resolve(this.#last);
    return new Promise((resolve) => {
      const listening = [
        this.#looked.event(() => {
          if (!settled()) return;
          for (const one of listening) one.dispose();
          resolve(this.#last);
        }),
        this.#closed.event(() => resolve(undefined)),
      ];
    });
  }

  #follow(design: Design | undefined): void {
    this.#following?.dispose();
    this.#following = design?.onDidChange(() => this.#update());
    this.#cursor.follow(design);
    this.#update();
  }

  #hear(raw: unknown): void {
    const message = fromPreview.safeParse(raw);
    if (!message.success) {
      this.#log.error(`preview: a message of unknown shape: ${message.error.message}`);
      return;
    }
    this.#obey(message.data);
  }

  #obey(message: FromPreview): void {
    const design = this.#designs.get(this.uri);
    switch (message.type) {
      case "ready":
        this.#ready = true;
        this.#transport.reset();
        this.#busy = false;
        this.#lit = "";
        // A slider that was held went with the page.
        design?.dropTrial();
        this.#introduce();
        this.#update();
        break;
      case "stocked":
        if (design && this.panel.visible) this.#transport.stocked(message.number, design.state);
        else this.#transport.breakOff();
        break;
      case "painted": {
        const sent = this.#transport.painted(message.build);
        if (!sent) break;
        const before = this.#last;
        this.#last = paintedOf(message, sent);
        if (before?.quality === "typing" && before.touched === this.#last.touched) {
          this.#last.coarse = before;
        }
        this.#log.debug(`${designName(this.uri)}: painted ${JSON.stringify(this.#last.stages)}`);
        this.#cursor.look();
        this.#update();
        break;
      }
      case "openPlace":
        void this.#openPlace(message.file, message.line, message.column);
        break;
      case "action":
        this.#act(message.action);
        break;
      case "param":
        if (design) void this.#slide(design, message);
        break;
      case "openHelp":
        void openFindingHelp(this.#extension, message.code);
        break;
      case "fault":
        this.#log.error(`preview: ${message.message}`);
        this.#transport.doubt();
        break;
    }
  }

  async #slide(
    design: Design,
    { name, value, phase }: Extract<FromPreview, { type: "param" }>,
  ): Promise<void> {
    switch (phase) {
      case "try":
        design.tryValue(name, value);
        break;
      case "drop":
        design.dropTrial(name);
        break;
      case "write":
        this.#written = (await writeParam(design, name, value)) ?? this.#written;
        break;
    }
  }

  #act(action: Extract<FromPreview, { type: "action" }>["action"]): void {
    switch (action) {
      case "manageTrust":
        void vscode.commands.executeCommand("workbench.trust.manage");
        break;
      case "close":
        this.panel.dispose();
        break;
      case "evaluate":
        this.#designs.get(this.uri)?.evaluateSoon();
        break;
    }
  }

  #introduce(): void {
    const { units } = this.#settings;
    this.#post({ type: "setup", uri: this.uri.toString(), words: previewWordList(), units });
  }

  #post(message: ToPreview): void {
    void this.panel.webview.postMessage(message);
  }

  #light(calls: number[]): void {
    const lit = calls.join();
    if (!this.#ready || !this.panel.visible || lit === this.#lit) return;
    this.#lit = lit;
    this.#post({ type: "light", calls });
  }

  #update(): void {
    this.#tell();
    this.#looked.fire();
  }

  /** Tells the page what it does not know yet, as far as it is visible and done with the last. */
  #tell(): void {
    if (!this.#ready || !this.panel.visible) return;
    const design = this.#designs.get(this.uri);
    const notice = noticeFor(this.uri, design, this.#designs);
    if (notice) {
      this.#post(notice);
      return;
    }
    if (!design) return;
    this.#transport.offer(design.state);
    if (design.busy === this.#busy) return;
    this.#busy = design.busy;
    this.#post({ type: "busy", on: design.busy });
  }

  async #openPlace(file: string, line: number, column: number): Promise<void> {
    const uri = this.#designs.get(this.uri)?.toEditor(file) ?? vscode.Uri.file(file);
    const at = new vscode.Position(Math.max(0, line - 1), Math.max(0, column - 1));
    const shown = vscode.window.visibleTextEditors.find(
      (editor) => editor.document.uri.toString() === uri.toString(),
    );
    await vscode.window.showTextDocument(uri, {
      viewColumn: shown?.viewColumn ?? vscode.ViewColumn.One,
      selection: new vscode.Range(at, at),
    });
  }

  dispose(): void {
    this.#closed.fire();
    this.#designs.get(this.uri)?.dropTrial();
    this.#following?.dispose();
    this.#interest.dispose();
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}

function titleOf(uri: vscode.Uri): string {
  return vscode.l10n.t("Mold: {0}", designName(uri));
}
