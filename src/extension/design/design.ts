import * as vscode from "vscode";
import type { BuildResult, CallView, MoldView, ParamView, Quality } from "../../../shared/engine.ts";
import type { LocatedFinding, Problem } from "../../../shared/finding.ts";
import { Superseded } from "../../dsl/engine/host.ts";
import type { Engine } from "../engine.ts";
import { localized } from "../language/localize.ts";
import { DesignDiagnostics } from "./diagnostics.ts";
import { GeometryStore } from "./geometry.ts";
import { designName, Paths } from "./identity.ts";
import { shiftPlace } from "./shift.ts";

/** After a keystroke, so that a burst of them is one build. */
const burstMs = 40;
/** Without a keystroke until the fine picture and the fixes are worked out. */
const idleMs = 350;

/** How long a coarse build may go on when its text is no longer the newest. */
const patienceMs = 400;

interface Flying {
  quality: Quality;
  started: number;
  done: Promise<void>;
}

/** What is known of a design; `build` counts up with each change of it. */
export interface DesignState {
  build: number;
  /** The last that ran, with all geometry. Undefined before the first. */
  molds: MoldView[] | undefined;
  findings: LocatedFinding[];
  params: ParamView[];
  calls: CallView[];
  problem: Problem | undefined;
  /** Files that took part, by the engine's names. */
  files: ReadonlySet<string>;
}

/**
 * One design while somebody looks at it: follows its text and that of its imports, has it built,
 * and holds the newest result. A result whose text has changed meanwhile may still give a picture,
 * never a finding.
 */
export class Design implements vscode.Disposable {
  readonly uri: vscode.Uri;
  readonly name: string;
  readonly #engine: Engine;
  readonly #log: vscode.LogOutputChannel;
  readonly #diagnostics: DesignDiagnostics;
  readonly #geometry = new GeometryStore();
  readonly #changed = new vscode.EventEmitter<void>();
  readonly #subscriptions: vscode.Disposable[];
  #paths: Paths | undefined;
  #alive = true;
  #state: DesignState = {
    build: 0,
    molds: undefined,
    findings: [],
    params: [],
    calls: [],
    problem: undefined,
    files: new Set(),
  };
  /** Counts changes of the text; our own, since versions of several files make no order. */
  #revision = 1;
  #touched = -Infinity;
  /** Revisions that builds were asked for, and that the newest fine result and any result is of. */
  #coarseAsked = 0;
  #fineAsked = 0;
  #fineOf = 0;
  #taken = 0;
  #running = false;
  #flying: Flying | undefined;
  #wake: () => void = () => undefined;
  #fineNow = false;
  #timer: NodeJS.Timeout | undefined;
  #waiting: { resolve: () => void; reject: (reason: Error) => void }[] = [];

  /** The state or `busy` has changed. */
  readonly onDidChange = this.#changed.event;

  constructor(uri: vscode.Uri, engine: Engine, log: vscode.LogOutputChannel) {
    this.uri = uri;
    this.name = designName(uri);
    this.#engine = engine;
    this.#log = log;
    this.#diagnostics = new DesignDiagnostics(this.name);
    this.#subscriptions = [
      this.#changed,
      this.#diagnostics,
      vscode.workspace.onDidChangeTextDocument((event) => this.#shift(event)),
    ];
  }

  get state(): DesignState {
    return this.#state;
  }

  get busy(): boolean {
    return this.#running;
  }

  get alive(): boolean {
    return this.#alive;
  }

  /** Findings and fixes belong to the text as it is now. */
  get current(): boolean {
    return this.#fineOf === this.#revision && this.#state.problem === undefined;
  }

  /** Whether a change of this file asks for a new build. */
  concerns(uri: vscode.Uri): boolean {
    if (uri.toString() === this.uri.toString()) return true;
    const file = this.#paths?.toEngine(uri);
    if (file === undefined) return false;
    // A file that could not be found is in no list; whatever appears may be it.
    return this.#state.files.has(file) || this.#state.problem !== undefined;
  }

  toEditor(file: string): vscode.Uri {
    return this.#paths?.toEditor(file) ?? vscode.Uri.file(file);
  }

  async paths(): Promise<Paths> {
    return (this.#paths ??= await Paths.of(this.uri));
  }

  /** The text is another one. With `build`, soon a new result; without, when asked for. */
  touch(build: boolean): void {
    this.#revision++;
    this.#touched = performance.now();
    if (build) this.evaluateSoon();
  }

  evaluateSoon(): void {
    this.#runIn(burstMs);
  }

  /** The state for the text as it is now, with findings and fixes. Rejects by our own fault only. */
  async upToDate(): Promise<DesignState> {
    if (this.#fineOf !== this.#revision) {
      // After a fault of ours the same text may be asked for again.
      if (!this.#flying) this.#fineAsked = 0;
      await new Promise<void>((resolve, reject) => {
        this.#waiting.push({ resolve, reject });
        this.#fineNow = true;
        void this.#run();
      });
    }
    return this.#state;
  }

  #runIn(milliseconds: number): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#run(), milliseconds);
  }

  /** Asks for builds until the newest text has been answered. One of these runs at a time. */
  async #run(): Promise<void> {
    if (this.#running) return this.#wake();
    if (this.#fineAsked === this.#revision) return;
    this.#running = true;
    this.#changed.fire();
    while (this.#alive) {
      const quality = this.#next();
      if (!this.#flying && quality === undefined) break;
      const wait = quality === undefined ? Infinity : this.#patience();
      if (quality !== undefined && wait <= 0) this.#flying = this.#ask(quality);
      await this.#somethingHappens(wait);
    }
    this.#running = false;
    if (this.#alive) this.#changed.fire();
  }

  /** What is to be asked for next; nothing while all has been asked for, or the hand may still be typing. */
  #next(): Quality | undefined {
    if (this.#fineNow) return this.#fineAsked < this.#revision ? "idle" : undefined;
    if (this.#coarseAsked < this.#revision) return "typing";
    if (this.#fineAsked === this.#revision || this.#flying) return undefined;
    const left = this.#touched + idleMs - performance.now();
    if (left <= 0) return "idle";
    this.#runIn(left);
    return undefined;
  }

  /**
   * Milliseconds to let the build under way go on, although its text is no longer the newest: a
   * coarse picture of a moment ago is better than none while somebody types on and on.
   */
  #patience(): number {
    const flying = this.#flying;
    if (!flying || flying.quality !== "typing" || this.#fineNow) return 0;
    return flying.started + patienceMs - performance.now();
  }

  /** Until the build under way is done, somebody calls, or the time is up. */
  async #somethingHappens(milliseconds: number): Promise<void> {
    let timer: NodeJS.Timeout | undefined;
    const called = new Promise<void>((resolve) => {
      this.#wake = resolve;
      if (Number.isFinite(milliseconds) && milliseconds > 0) timer = setTimeout(resolve, milliseconds);
    });
    await Promise.race([this.#flying?.done ?? called, called]);
    clearTimeout(timer);
  }

  #ask(quality: Quality): Flying {
    const revision = this.#revision;
    this.#coarseAsked = revision;
    if (quality === "idle") this.#fineAsked = revision;
    const flying: Flying = {
      quality,
      started: performance.now(),
      done: this.#build(quality, revision).finally(() => {
        if (this.#flying === flying) this.#flying = undefined;
      }),
    };
    return flying;
  }

  /** Never rejects: what goes wrong is told here. */
  async #build(quality: Quality, revision: number): Promise<void> {
    const { generation } = this.#engine;
    try {
      const paths = await this.paths();
      const built = await this.#engine.host.build({
        entry: paths.entry,
        root: paths.root,
        overlays: openTexts(paths),
        overrides: {},
        quality,
        have: this.#geometry.digests,
        fixes: quality === "idle",
      });
      if (!this.#alive || revision < this.#taken) return;
      const result = localized(built);
      this.#log.debug(`${this.name}: ${quality} ${JSON.stringify(result.timings)}`);
      this.#taken = revision;
      this.#take(result, revision === this.#revision);
      if (quality === "idle") this.#fineOf = revision;
      if (this.#fineOf === this.#revision) this.#settle();
    } catch (error) {
      // A newer build took its place, or an engine that was restarted answers nobody.
      const expected = error instanceof Superseded || generation !== this.#engine.generation;
      if (expected || !this.#alive) return;
      this.#engine.fault(error);
      this.#settle(error instanceof Error ? error : new Error(String(error)));
    }
  }

  #settle(fault?: Error): void {
    this.#fineNow = false;
    const waiting = this.#waiting;
    this.#waiting = [];
    for (const { resolve, reject } of waiting) {
      if (fault === undefined) resolve();
      else reject(fault);
    }
  }

  #take(result: BuildResult, current: boolean): void {
    const build = this.#state.build + 1;
    const molds = result.problem ? this.#state.molds : this.#geometry.complete(result.molds);
    if (!current) {
      if (!result.problem) this.#state = { ...this.#state, build, molds };
      this.#changed.fire();
      return;
    }
    this.#state = {
      build,
      molds,
      // While the design does not run, what was found last still stands.
      findings: result.problem ? this.#state.findings : result.findings,
      params: result.problem ? this.#state.params : result.params,
      calls: result.problem ? this.#state.calls : result.calls,
      problem: result.problem,
      files: new Set(result.files),
    };
    const paths = this.#paths;
    this.#diagnostics.publish(this.#state.findings, result.problem, (file) =>
      paths ? paths.toEditor(file) : vscode.Uri.file(file),
    );
    this.#changed.fire();
  }

  /** Keeps places on what they were said of while the text around them changes. */
  #shift(event: vscode.TextDocumentChangeEvent): void {
    const file = this.#paths?.toEngine(event.document.uri);
    if (file === undefined || event.contentChanges.length === 0) return;
    const move = <T extends LocatedFinding | Problem>(one: T): T => {
      if (one.place.file !== file) return one;
      // Changes of one event are given from the end of the file to its start.
      const place = event.contentChanges.reduce(
        (at, { range, text }) => shiftPlace(at, { start: range.start, end: range.end, text }),
        one.place,
      );
      return { ...one, place };
    };
    this.#state = {
      ...this.#state,
      findings: this.#state.findings.map(move),
      problem: this.#state.problem && move(this.#state.problem),
    };
  }

  dispose(): void {
    this.#alive = false;
    clearTimeout(this.#timer);
    for (const { reject } of this.#waiting) reject(new Error("The design was closed."));
    this.#waiting = [];
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}

/** Texts of open files inside the design root, saved or not: what the maker sees is what runs. */
function openTexts(paths: Paths): Record<string, string> {
  const texts: Record<string, string> = {};
  for (const document of vscode.workspace.textDocuments) {
    if (document.isClosed || !/\.(ts|js|json)$/.test(document.uri.path)) continue;
    const file = paths.toEngine(document.uri);
    if (file !== undefined) texts[file] = document.getText();
  }
  return texts;
}
