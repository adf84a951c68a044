import { existsSync } from "node:fs";
import { readdir, rmdir } from "node:fs/promises";
import { join } from "node:path";
import type {
  BuildRequest,
  BuildResult,
  CureRequest,
  CureResult,
  EngineReply,
  ExportRequest,
  ExportResult,
  MeasureRequest,
  MeasureResult,
} from "../../../shared/engine.ts";
import type { MessageArgs, Problem } from "../../../shared/finding.ts";
import { designName } from "../evaluate/name.ts";
import { cleanUp } from "../output/swap.ts";
import { EngineProcess } from "./process.ts";
import { stoppedProblem } from "./stopped.ts";
import type { WatchedFrame, WatchReport } from "./watch-messages.ts";

export interface EngineHostOptions {
  /** `dist/engine.mjs`. */
  enginePath: string;
  /** Seconds that the maker's code may take. Default 10. */
  timeLimitS?: number;
  /** Memory of the process, MB. Default 2048. */
  memoryLimitMB?: number;
  /** Keep a second process ready, so that the next result does not wait when one is stopped. Default true. */
  standby?: boolean;
  /** Hears what designs write with `console`, and what the engine writes to stderr. */
  onLog?: (lines: string[]) => void;
  /** Hears of our own faults; the request that met one rejects with it too. */
  onFault?: (fault: EngineFault) => void;
}

/** A newer build of the same design took the place of this one. */
export class Superseded extends Error {
  override readonly name = "Superseded";
}

/** The engine was restarted or disposed of before it could answer. */
export class EngineStopped extends Error {
  override readonly name = "EngineStopped";
}

/** Our own fault. */
export class EngineFault extends Error {
  override readonly name = "EngineFault";
}

export interface ExportOptions {
  /** Aborting kills the engine at once. */
  signal?: AbortSignal;
  onProgress?: (done: number, total: number, what: string) => void;
}

/** What is asked of a build; the host numbers it. */
export type BuildAsk = Omit<BuildRequest, "type" | "id" | "early">;
export type ExportAsk = Omit<ExportRequest, "type" | "id">;
export type CureAsk = Omit<CureRequest, "type" | "id">;
export type MeasureAsk = Omit<MeasureRequest, "type" | "id">;

type Request = BuildRequest | ExportRequest | CureRequest | MeasureRequest;
type Result = BuildResult | ExportResult | CureResult | MeasureResult;

/** Seconds without a sign of life that our own work may take. */
const OWN_LIMIT_S = 120;
/** ms after which a newer build ends an older one that is still in the maker's code. */
const PATIENCE_MS = 1000;
/** ms that the watch may take to say where the design is. */
const WHERE_MS = 1500;
/** Share of the memory limit above which an idle process is replaced: its memory never shrinks. */
const RETIRE_SHARE = 0.5;

interface Job {
  request: Request;
  resolve(result: Result): void;
  reject(error: Error): void;
  onProgress?: ExportOptions["onProgress"];
  onFound?: (result: BuildResult) => void;
  /** A newer build of the same design is waiting. */
  superseded: boolean;
  /** When the maker's code began; undefined while the process starts. */
  evaluating?: number;
  /** The files of the design, once they are known. */
  files: string[];
  evaluated: boolean;
  timer?: NodeJS.Timeout;
  patience?: NodeJS.Timeout;
  /** Where the design was when its memory was last looked at. */
  rising?: { rssMB: number; frames: WatchedFrame[] | null };
  /** Waits for the watch to say where the design is. */
  onWhere?: (frames: WatchedFrame[] | null) => void;
}

/**
 * Starts, watches and ends the engine process. Requests are answered one after another; a build
 * that waits is superseded by a newer one of the same design.
 */
export class EngineHost {
  readonly #options: Required<Omit<EngineHostOptions, "onLog" | "onFault">>;
  readonly #onLog: (lines: string[]) => void;
  readonly #onFault: (fault: EngineFault) => void;
  #active: EngineProcess | undefined;
  #standby: EngineProcess | undefined;
  #waiting: Job[] = [];
  #running: Job | undefined;
  #lastId = 0;
  #disposed = false;

  constructor(options: EngineHostOptions) {
    const { onLog, onFault, ...rest } = options;
    this.#options = { timeLimitS: 10, memoryLimitMB: 2048, standby: true, ...rest };
    this.#onLog = onLog ?? (() => undefined);
    this.#onFault = onFault ?? (() => undefined);
    this.#active = this.#start();
  }

  /** Rejects with Superseded, EngineStopped or EngineFault; a design that does not run resolves, with its problem. */
  build(ask: BuildAsk, onFound?: (result: BuildResult) => void): Promise<BuildResult> {
    return new Promise<BuildResult>((resolve, reject) => {
      const early = onFound !== undefined;
      const request: BuildRequest = { type: "build", id: ++this.#lastId, ...ask, early };
      for (const job of this.#waiting.filter((one) => isBuildOf(one, ask.entry))) {
        this.#waiting = this.#waiting.filter((one) => one !== job);
        job.reject(new Superseded());
      }
      if (this.#running && isBuildOf(this.#running, ask.entry)) this.#supersede(this.#running);
      let found: BuildResult | undefined;
      this.#enqueue({
        request,
        resolve: (result) =>
          resolve(found ? { ...(result as BuildResult), molds: found.molds } : (result as BuildResult)),
        reject,
        onFound: (result) => {
          found = result;
          onFound?.(result);
        },
      });
    });
  }

  /** Rejects as `build` does, and with the signal's reason when it is aborted. */
  exportDesign(ask: ExportAsk, { signal, onProgress }: ExportOptions = {}): Promise<ExportResult> {
    return new Promise<ExportResult>((resolve, reject) => {
      if (signal?.aborted) return reject(abortReason(signal));
      const outWasThere = existsSync(ask.out);
      const onAbort = () => {
        if (!signal) return;
        const ended = this.#running === job ? this.#replace() : undefined;
        this.#waiting = this.#waiting.filter((one) => one !== job);
        // The next job need not wait until what was half written is gone; whoever called off does.
        this.#settle(job, () => {
          void takeBack(ask, outWasThere, ended).then(
            () => job.reject(abortReason(signal)),
            (error: unknown) => job.reject(error instanceof Error ? error : new Error(String(error))),
          );
        });
      };
      const done = () => signal?.removeEventListener("abort", onAbort);
      const job = this.#enqueue({
        request: { type: "export", id: ++this.#lastId, ...ask },
        onProgress,
        resolve: (result) => {
          done();
          resolve(result as ExportResult);
        },
        reject: (error) => {
          done();
          reject(error);
        },
      });
      signal?.addEventListener("abort", onAbort);
    });
  }

  /**
   * The design's texts with its findings cured, as far as there are fixes; its own code is run once
   * for each. Empty where it was stopped. Rejects as `build` does.
   */
  cure(ask: CureAsk): Promise<CureResult> {
    return this.#ask({ type: "cure", id: ++this.#lastId, ...ask });
  }

  /** What test bars say of a clay. Runs nothing of a design. Rejects as `build` does. */
  measure(ask: MeasureAsk): Promise<MeasureResult> {
    return this.#ask({ type: "measure", id: ++this.#lastId, ...ask });
  }

  #ask<R extends Result>(request: Request): Promise<R> {
    return new Promise<R>((resolve, reject) => {
      this.#enqueue({ request, resolve: resolve as Job["resolve"], reject });
    });
  }

  /** Ends everything under way and begins afresh. */
  restart(): void {
    this.#stop("The engine was restarted.");
    if (!this.#disposed) this.#active = this.#start();
  }

  dispose(): void {
    this.#disposed = true;
    this.#stop("The engine was shut down.");
  }

  /** Process ids, for tests and the log: the one at work, and the one that stands by. */
  get processes(): { active: number | undefined; standby: number | undefined } {
    return { active: this.#active?.pid, standby: this.#standby?.pid };
  }

  #stop(why: string): void {
    const jobs = [...(this.#running ? [this.#running] : []), ...this.#waiting];
    this.#waiting = [];
    this.#running = undefined;
    void this.#active?.kill();
    void this.#standby?.kill();
    this.#active = this.#standby = undefined;
    for (const job of jobs) {
      clearTimeout(job.timer);
      clearTimeout(job.patience);
      job.reject(new EngineStopped(why));
    }
  }

  #enqueue(given: Pick<Job, "request" | "resolve" | "reject" | "onProgress" | "onFound">): Job {
    const job: Job = { ...given, superseded: false, files: [], evaluated: false };
    if (this.#disposed) job.reject(new EngineStopped("The engine was shut down."));
    else {
      this.#waiting.push(job);
      this.#next();
    }
    return job;
  }

  #next(): void {
    if (this.#running || this.#disposed) return;
    const job = this.#waiting.shift();
    if (!job) return this.#prepareStandby();
    const active = this.#ready();
    this.#running = job;
    active.tellWatch("busy");
    active.send(job.request);
    this.#limit(job, OWN_LIMIT_S, () => this.#overOwnTime(job));
  }

  /** The process to use: the active one, the one standing by, or a new one. */
  #ready(): EngineProcess {
    this.#active ??= this.#standby ?? this.#start();
    if (this.#standby === this.#active) this.#standby = undefined;
    return this.#active;
  }

  #prepareStandby(): void {
    if (this.#options.standby && !this.#disposed) this.#standby ??= this.#start();
  }

  /** Kills the active process; the one standing by takes its place. Resolves when it is gone. */
  #replace(): Promise<void> {
    const ended = this.#active?.kill() ?? Promise.resolve();
    this.#active = undefined;
    return ended;
  }

  #start(): EngineProcess {
    const started: EngineProcess = new EngineProcess(this.#options.enginePath, this.#options.memoryLimitMB, {
      onReply: (reply) => {
        if (started === this.#active) this.#hear(reply);
      },
      onReport: (report) => {
        if (started === this.#active) this.#heed(report);
      },
      onEnd: (how, stderr) => this.#ended(started, how, stderr),
    });
    return started;
  }

  #limit(job: Job, seconds: number, then: () => void): void {
    clearTimeout(job.timer);
    job.timer = setTimeout(then, seconds * 1000);
  }

  #hear(reply: EngineReply): void {
    if (reply.type === "ready") return;
    const job = this.#running;
    // A cancelled build and the word that it is over may cross.
    if (!job || reply.id !== job.request.id) return;
    switch (reply.type) {
      case "log":
        this.#onLog(reply.lines);
        return;
      case "evaluating":
        job.evaluating = performance.now();
        job.files = reply.files;
        if (job.superseded) this.#losePatience(job);
        this.#limit(job, this.#options.timeLimitS, () => void this.#overTime(job));
        return;
      case "evaluated":
        job.evaluated = true;
        clearTimeout(job.patience);
        this.#limit(job, OWN_LIMIT_S, () => this.#overOwnTime(job));
        return;
      case "progress":
        this.#limit(job, OWN_LIMIT_S, () => this.#overOwnTime(job));
        job.onProgress?.(reply.done, reply.total, reply.what);
        return;
      case "found":
        this.#limit(job, OWN_LIMIT_S, () => this.#overOwnTime(job));
        job.onFound?.(reply.result);
        return;
      case "built":
      case "exported":
      case "cured":
      case "measured":
        this.#active?.tellWatch("idle");
        if (reply.rssMB > this.#options.memoryLimitMB * RETIRE_SHARE) void this.#replace();
        this.#settle(job, () => job.resolve(reply.result));
        return;
      case "cancelled":
        this.#settle(job, () => job.reject(new Superseded()));
        return;
      case "failed":
        this.#fault(job, reply.message, reply.stack);
    }
  }

  #heed(report: WatchReport): void {
    const job = this.#running;
    if (!job) return;
    switch (report.type) {
      case "where":
        job.onWhere?.(report.frames);
        return;
      case "rising":
        job.rising = report;
        return;
      case "memory":
        this.#overMemory(job, report.frames ?? job.rising?.frames ?? null);
    }
  }

  #supersede(job: Job): void {
    if (job.superseded) return;
    job.superseded = true;
    this.#active?.send({ type: "cancel", id: job.request.id });
    if (job.evaluating !== undefined && !job.evaluated) this.#losePatience(job);
  }

  /** A newer build is waiting: the maker's code gets a little more time, and then it is over. */
  #losePatience(job: Job): void {
    const spent = performance.now() - (job.evaluating ?? performance.now());
    job.patience = setTimeout(
      () => {
        void this.#replace();
        this.#settle(job, () => job.reject(new Superseded()));
      },
      Math.max(0, PATIENCE_MS - spent),
    );
  }

  async #overTime(job: Job): Promise<void> {
    const frames = await new Promise<WatchedFrame[] | null>((resolve) => {
      const timer = setTimeout(() => resolve(null), WHERE_MS);
      job.onWhere = (answer) => {
        clearTimeout(timer);
        resolve(answer);
      };
      this.#active?.tellWatch("where");
    });
    // It may have ended in the meantime, one way or another.
    if (this.#running !== job || job.evaluated) return;
    this.#stopped(job, "time-limit", { seconds: this.#options.timeLimitS }, frames);
  }

  #overMemory(job: Job, frames: WatchedFrame[] | null): void {
    this.#stopped(job, "memory-limit", { limit: this.#options.memoryLimitMB }, frames);
  }

  #overOwnTime(job: Job): void {
    void this.#replace();
    this.#fault(job, `The engine gave no sign of life for ${OWN_LIMIT_S} s and was stopped.`, "");
  }

  #stopped(
    job: Job,
    code: "time-limit" | "memory-limit",
    args: MessageArgs,
    frames: WatchedFrame[] | null,
  ): void {
    void this.#replace();
    const { request, files } = job;
    if (request.type === "measure") {
      this.#fault(job, "The engine took more memory than it may while it read test bars.", "");
      return;
    }
    const problem = stoppedProblem(code, args, request, files, frames);
    this.#settle(job, () => job.resolve(stoppedResult(request, files, problem)));
  }

  #ended(ended: EngineProcess, how: string, stderr: string): void {
    if (ended === this.#standby) {
      this.#standby = undefined;
      this.#onFault(new EngineFault(`The engine that stood by ended: ${how}. ${stderr}`));
      return;
    }
    if (ended !== this.#active) return;
    this.#active = undefined;
    const job = this.#running;
    if (!job) {
      this.#onFault(new EngineFault(`The engine ended: ${how}. ${stderr}`));
      return;
    }
    if (/heap out of memory|Allocation failed|invalid (array|table) (size|length)/i.test(stderr))
      this.#overMemory(job, job.rising?.frames ?? null);
    else this.#fault(job, `The engine ended: ${how}.`, stderr);
  }

  #fault(job: Job, message: string, stack: string): void {
    const fault = new EngineFault(message);
    if (stack) fault.stack = stack;
    this.#onFault(fault);
    this.#settle(job, () => job.reject(fault));
  }

  #settle(job: Job, then: () => void): void {
    clearTimeout(job.timer);
    clearTimeout(job.patience);
    const written = this.#active?.takeStderr().trimEnd();
    if (written) this.#onLog(written.split("\n"));
    if (this.#running === job) this.#running = undefined;
    then();
    this.#next();
  }
}

function stoppedResult(
  request: Exclude<Request, MeasureRequest>,
  files: string[],
  problem: Problem,
): BuildResult | ExportResult | CureResult {
  switch (request.type) {
    case "export":
      return { problem, findings: [], files: [], parts: [] };
    case "cure":
      return { texts: {}, made: [] };
    case "build":
      return {
        design: designName(request.entry),
        files,
        problem,
        molds: [],
        findings: [],
        params: [],
        calls: [],
        timings: {},
      };
  }
}

function isBuildOf(job: Job, entry: string): boolean {
  return job.request.type === "build" && job.request.entry === entry;
}

function abortReason(signal: AbortSignal): Error {
  return signal.reason instanceof Error ? signal.reason : new Error("aborted");
}

/** Takes away what an export that was called off had written so far, once its process is gone. */
async function takeBack(
  ask: ExportAsk,
  outWasThere: boolean,
  ended: Promise<void> | undefined,
): Promise<void> {
  if (!ended) return;
  await ended;
  if (!existsSync(ask.out)) return;
  await cleanUp(join(ask.out, designName(ask.entry)));
  if (!outWasThere && (await readdir(ask.out)).length === 0) await rmdir(ask.out);
}
