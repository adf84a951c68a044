import * as vscode from "vscode";
import { existsSync } from "node:fs";
import { fromPreview, type FromPreview, type ToPreview } from "../../../shared/preview.ts";
import type { Design } from "../design/design.ts";
import type { Designs } from "../design/designs.ts";
import { designName } from "../design/identity.ts";
import { previewHtml } from "./html.ts";
import { showMessage } from "./messages.ts";
import { previewWordList } from "./words.ts";

/** What a preview has put on the screen. */
export interface Painted {
  build: number;
  triangles: number;
  milliseconds: number;
}

/**
 * One preview panel. The design holds everything; the page is told the newest state when it is
 * visible and has painted the one before. A state that comes meanwhile replaces the one waiting.
 */
export class Preview implements vscode.Disposable {
  readonly uri: vscode.Uri;
  readonly panel: vscode.WebviewPanel;
  readonly #designs: Designs;
  readonly #log: vscode.LogOutputChannel;
  readonly #interest: vscode.Disposable;
  readonly #subscriptions: vscode.Disposable[];
  readonly #painted = new vscode.EventEmitter<Painted>();
  readonly #closed = new vscode.EventEmitter<void>();
  #following: vscode.Disposable | undefined;
  #ready = false;
  /** Build that was sent and is not on the screen yet. */
  #inFlight: number | undefined;
  #sent = -1;
  #last: Painted | undefined;
  #held: ReadonlySet<string> = new Set();

  readonly onDidClose = this.#closed.event;

  constructor(
    panel: vscode.WebviewPanel,
    uri: vscode.Uri,
    extension: vscode.Uri,
    designs: Designs,
    log: vscode.LogOutputChannel,
  ) {
    this.panel = panel;
    this.uri = uri;
    this.#designs = designs;
    this.#log = log;
    const dist = vscode.Uri.joinPath(extension, "dist");
    panel.title = vscode.l10n.t("Mold: {0}", designName(uri));
    panel.iconPath = vscode.Uri.joinPath(extension, "media", "icon.png");
    panel.webview.options = { enableScripts: true, localResourceRoots: [dist] };
    this.#subscriptions = [
      this.#painted,
      this.#closed,
      panel.onDidDispose(() => this.dispose()),
      panel.onDidChangeViewState(() => this.#update()),
      panel.webview.onDidReceiveMessage((message: unknown) => this.#hear(message)),
      designs.onDidOpen((design) => {
        if (design.uri.toString() === uri.toString()) this.#follow(design);
      }),
      vscode.workspace.onDidGrantWorkspaceTrust(() => this.#update()),
    ];
    this.#interest = designs.preview(uri);
    const design = designs.get(uri);
    if (design) this.#follow(design);
    panel.webview.html = previewHtml(panel.webview, dist);
  }

  /** What the next text that is painted shows; at once when nothing is under way. Undefined when it closes before. */
  painted(): Promise<Painted | undefined> {
    const design = this.#designs.get(this.uri);
    if (!design) return Promise.resolve(undefined);
    const settled = () => !design.busy && design.state.build > 0 && this.#last?.build === design.state.build;
    if (settled()) return Promise.resolve(this.#last);
    return new Promise((resolve) => {
      const listening = [
        this.#painted.event((painted) => {
          if (!settled()) return;
          listening.forEach((one) => void one.dispose());
          resolve(painted);
        }),
        this.#closed.event(() => resolve(undefined)),
      ];
    });
  }

  #follow(design: Design): void {
    this.#following?.dispose();
    this.#following = design.onDidChange(() => this.#update());
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
    switch (message.type) {
      case "ready":
        this.#ready = true;
        this.#inFlight = undefined;
        this.#sent = -1;
        this.#held = new Set();
        this.#post({ type: "setup", uri: this.uri.toString(), words: previewWordList() });
        this.#update();
        break;
      case "painted": {
        if (message.build !== this.#inFlight) break;
        this.#inFlight = undefined;
        const { build, triangles, milliseconds } = message;
        this.#last = { build, triangles, milliseconds };
        this.#painted.fire(this.#last);
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
      case "openHelp":
        break;
      case "fault":
        this.#log.error(`preview: ${message.message}`);
        this.#inFlight = undefined;
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

  #post(message: ToPreview): void {
    void this.panel.webview.postMessage(message);
  }

  /** Tells the page what it does not know yet, as far as it is visible and done with the last. */
  #update(): void {
    if (!this.#ready || !this.panel.visible || this.#inFlight !== undefined) return;
    const design = this.#designs.get(this.uri);
    const notice = this.#notice(design);
    if (notice) {
      this.#post(notice);
      return;
    }
    if (!design) return;
    const { state } = design;
    if (state.build > 0 && state.build !== this.#sent) {
      this.#sent = this.#inFlight = state.build;
      this.#post(showMessage(state, this.#held));
      if (state.molds) {
        this.#held = new Set(state.molds.flatMap((mold) => mold.surfaces.map((surface) => surface.digest)));
      }
    } else if (design.busy) {
      this.#post({ type: "busy", build: state.build });
    }
  }

  /** The sentence where there can be no picture. */
  #notice(design: Design | undefined): ToPreview | undefined {
    const { l10n } = vscode;
    if (!vscode.workspace.isTrusted) {
      return {
        type: "notice",
        sentence: l10n.t(
          "A design is a program, and this window is in Restricted Mode: nothing of it has been run. Trust the folder to see the mold.",
        ),
        button: { label: l10n.t("Manage Workspace Trust"), action: "manageTrust" },
      };
    }
    if (!existsSync(this.uri.fsPath)) {
      return {
        type: "notice",
        sentence: l10n.t("{0} is not there any more.", this.uri.fsPath),
        button: { label: l10n.t("Close Preview"), action: "close" },
      };
    }
    if (design && design.state.build === 0 && !design.busy && !this.#designs.byThemselves) {
      return {
        type: "notice",
        sentence: l10n.t("By your settings a design is run only when you ask for it."),
        button: { label: l10n.t("Run It"), action: "evaluate" },
      };
    }
    return undefined;
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
    this.#following?.dispose();
    this.#interest.dispose();
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}
