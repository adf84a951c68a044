import * as vscode from "vscode";
import type { BuildResult, Quality, SurfaceGeometry } from "../../../shared/engine.ts";
import { Superseded } from "../../dsl/engine/host.ts";
import type { Engine } from "../engine.ts";
import { localized } from "../language/localize.ts";
import { DesignDiagnostics } from "./diagnostics.ts";
import { GeometryStore } from "./geometry.ts";
import { designName, Paths } from "./identity.ts";
import { nothingYet, shiftState, type DesignState, type FileEdits, type Making } from "./state.ts";
import { openTexts } from "./texts.ts";

export type { DesignState };

/** After a keystroke, so that what one key does in several steps is one build. */
const burstMs = 8;
/** Without a keystroke until the fine picture and the fixes are worked out. */
const idleMs = 350;
/** After a coarse result until then: it is on its way to the page, which has the same processor. */
const deliveryMs = 250;

/** How long a coarse build may go on when its text is no longer the newest. */
const patienceMs = 400;

interface Flying {
  quality: Quality;
  started: number;
  done: Promise<void>;
}

/** What a build was asked for. */
interface Asked {
  quality: Quality;
  revision: number;
  /** With numbers of sliders that are not in the code. */
  trial: boolean;
  /** The surfaces that it need not send. */
  held: ReadonlyMap<string, SurfaceGeometry>;
  /** The last change before it, and when it was asked for. */
  touched: number;
  at: number;
}

let builds = 0;

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
  #findingPaths: Promise<Paths> | undefined;
  #alive = true;
  #state: DesignState = nothingYet;
  /** Counts changes of what is to be shown; our own, since versions of several files make no order. */
  #revision = 1;
  /** Edits, with the first revision that has them, for results of the text before. */
  #edits: (FileEdits & { revision: number })[] = [];
  /** Numbers that sliders are held at, by name. They are in no text. */
  readonly #trials = new Map<string, number>();
  #touched = -Infinity;
  /** When the last coarse result came. */
  #answered = -Infinity;
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
    this.#diagnostics = new DesignDiagnostics(uri);
    this.#subscriptions = [this.#changed, this.#diagnostics];
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

  /** The engine's name of a file, or undefined when it is none that a design may import. */
  toEngine(uri: vscode.Uri): string | undefined {
    return this.#paths?.toEngine(uri);
  }

  /** The same promise for all who ask: builds that wait for it go out in the order they were asked in. */
  paths(): Promise<Paths> {
    return (this.#findingPaths ??= this.#findPaths());
  }

  async #findPaths(): Promise<Paths> {
    try {
      return (this.#paths = await Paths.of(this.uri));
    } catch (error) {
      this.#findingPaths = undefined;
      throw error;
    }
  }

  /** The text is another one. With `build`, soon a new result; without, when asked for. */
  touch(build: boolean): void {
    this.#revision++;
    this.#touched = performance.now();
    if (build) this.evaluateSoon();
  }

  /** Some text was edited, in a file of this design or another. */
  edited({ document, contentChanges }: vscode.TextDocumentChangeEvent, build: boolean): void {
    if (this.concerns(document.uri)) this.touch(build);
    const file = this.#paths?.toEngine(document.uri);
    if (file === undefined) return;
    // Changes of one event are given from the end of the file to its start.
    const edits = contentChanges.map(({ range, text }) => ({ start: range.start, end: range.end, text }));
    this.#edits.push({ file, edits, revision: this.#revision });
    this.#state = shiftState(this.#state, { file, edits });
  }

  evaluateSoon(): void {
    this.#runIn(burstMs);
  }

  /** Has the picture show what this number would do, at once. The newest of many is taken; findings stay. */
  tryValue(name: string, value: number): void {
    if (this.#trials.get(name) === value) return;
    this.#trials.set(name, value);
    this.touch(false);
    void this.#run();
  }

  /** The slider goes back: the picture shows the code again. Without a name all of them do. */
  dropTrial(name?: string): void {
    const dropped = name === undefined ? this.#trials.size > 0 : this.#trials.has(name);
    if (name === undefined) this.#trials.clear();
    else this.#trials.delete(name);
    if (!dropped) return;
    this.touch(false);
    void this.#run();
  }

  /** The number is about to be in the code. */
  forgetTrial(name: string): void {
    this.#trials.delete(name);
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
    // While a slider is held, coarse is enough.
    if (this.#trials.size > 0) return undefined;
    if (this.#fineAsked === this.#revision || this.#flying) return undefined;
    const left = Math.max(this.#touched + idleMs, this.#answered + deliveryMs) - performance.now();
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
      const overrides = quality === "typing" ? Object.fromEntries(this.#trials) : {};
      const trial = Object.keys(overrides).length > 0;
      const held = this.#geometry.held();
      const asked: Asked = { quality, revision, trial, held, touched: this.#touched, at: performance.now() };
      const take = (built: BuildResult): BuildResult | undefined => {
        if (!this.#alive || revision < this.#taken) return undefined;
        const result = localized(built);
        this.#taken = revision;
        this.#take(result, asked);
        return result;
      };
      const ask = {
        entry: paths.entry,
        root: paths.root,
        overlays: openTexts(paths),
        overrides,
        quality,
        have: [...held.keys()],
        fixes: quality === "idle",
      };
      // What is found need not wait until all fixes have been tried.
      const result = take(await this.#engine.host.build(ask, take));
      if (!result) return;
      this.#log.debug(`${this.name}: ${quality} ${JSON.stringify(result.timings)}`);
      this.#edits = this.#edits.filter((one) => one.revision > revision);
      if (quality === "idle" || (wasStopped(result) && !trial)) {
        this.#fineOf = revision;
        this.#fineAsked = Math.max(this.#fineAsked, revision);
      }
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

  #take(result: BuildResult, asked: Asked): void {
    const { problem } = result;
    if (asked.quality === "typing") this.#answered = performance.now();
    const current = asked.revision === this.#revision;
    // In the middle of a word most texts do not run: that is told when the hand rests.
    const passing = problem && asked.quality === "typing" && !asked.trial && !wasStopped(result);
    if (problem && !asked.trial && (!current || (passing && this.#state.build > 0))) return;
    const making: Making = {
      quality: asked.quality,
      touched: asked.touched,
      asked: asked.at,
      answered: performance.now(),
      engine: result.timings,
    };
    const molds = problem ? this.#state.molds : this.#geometry.complete(result.molds, asked.held);
    const shown = { build: ++builds, molds, making };
    if (asked.trial) {
      this.#state = { ...this.#state, ...shown, trialProblem: problem };
    } else if (!current) {
      const { params, calls } = result;
      const since = this.#edits.filter(({ revision }) => revision > asked.revision);
      const moved = since.reduce(shiftState, { params, calls });
      this.#state = { ...this.#state, ...shown, ...moved, trialProblem: undefined };
    } else {
      // While the design does not run, what was found last still stands.
      const { findings, params, calls } = problem ? this.#state : result;
      const files = new Set(result.files);
      this.#state = { ...shown, findings, params, calls, problem, trialProblem: undefined, files };
      this.#diagnostics.publish(findings, problem, (file) => this.toEditor(file));
    }
    this.#changed.fire();
  }

  dispose(): void {
    this.#alive = false;
    clearTimeout(this.#timer);
    for (const { reject } of this.#waiting) reject(new Error("The design was closed."));
    this.#waiting = [];
    for (const subscription of this.#subscriptions) subscription.dispose();
  }
}

/** The design was ended from outside; to run the same text again would only take as long again. */
function wasStopped({ problem }: BuildResult): boolean {
  return /^(time|memory)-limit/.test(problem?.code ?? "");
}
