import { fork, type ChildProcess } from "node:child_process";
import type { Duplex } from "node:stream";
import type { EngineReply, EngineRequest } from "../../../shared/engine.ts";
import { WATCH_FD, type WatchCommand, type WatchReport } from "./watch-messages.ts";

export interface ProcessEvents {
  onReply(reply: EngineReply): void;
  onReport(report: WatchReport): void;
  /** The process has ended by itself; `stderr` is what it last wrote. Not called after `kill`. */
  onEnd(how: string, stderr: string): void;
}

/** Half of what short-lived objects may take, MB: left to itself it doubles at some time, and the process with it. */
const YOUNG_MB = 16;

/** What a child may know of the environment; never NODE_OPTIONS. */
const passedOn = ["SystemRoot", "TEMP", "TMP", "TMPDIR", "LANG", "TZ"];

/** One engine process with its watch. */
export class EngineProcess {
  readonly #child: ChildProcess;
  readonly #watch: Duplex;
  #killed = false;
  #stderr = "";

  constructor(enginePath: string, memoryLimitMB: number, events: ProcessEvents) {
    const env: NodeJS.ProcessEnv = { ELECTRON_RUN_AS_NODE: "1" };
    for (const name of passedOn) if (process.env[name] !== undefined) env[name] = process.env[name];
    this.#child = fork(enginePath, [String(memoryLimitMB)], {
      execArgv: [`--max-old-space-size=${memoryLimitMB}`, `--max-semi-space-size=${YOUNG_MB}`],
      env,
      serialization: "advanced",
      stdio: ["ignore", "ignore", "pipe", "ipc", "pipe"],
    });
    this.#watch = this.#child.stdio[WATCH_FD] as unknown as Duplex;
    // A process that has just fallen closes its pipes; its end is told by `exit`.
    this.#watch.on("error", () => undefined);
    let rest = "";
    this.#watch.setEncoding("utf8").on("data", (chunk: string) => {
      const lines = (rest + chunk).split("\n");
      rest = lines.pop() ?? "";
      for (const line of lines) if (!this.#killed) events.onReport(JSON.parse(line) as WatchReport);
    });
    this.#child.stderr?.setEncoding("utf8").on("data", (chunk: string) => {
      this.#stderr = (this.#stderr + chunk).slice(-20_000);
    });
    this.#child.on("message", (reply) => {
      if (!this.#killed) events.onReply(reply as EngineReply);
    });
    let failure = "";
    this.#child.on("error", (error) => {
      failure = error.message;
      if (this.#child.pid === undefined) this.#end(events, failure);
    });
    // `close` and not `exit`: by then everything that was written has been read.
    this.#child.on("close", (code, signal) => this.#end(events, failure || (signal ?? `exit code ${code}`)));
  }

  #end(events: ProcessEvents, how: string): void {
    if (this.#killed) return;
    this.#killed = true;
    events.onEnd(how, this.#stderr);
  }

  get pid(): number | undefined {
    return this.#child.pid;
  }

  /** What the process has written to stderr since this was last asked. */
  takeStderr(): string {
    const text = this.#stderr;
    this.#stderr = "";
    return text;
  }

  send(request: EngineRequest): void {
    // When the channel is gone the process is, and `onEnd` tells.
    this.#child.send(request, () => undefined);
  }

  tellWatch(command: WatchCommand): void {
    this.#watch.write(command + "\n");
  }

  /** Resolves when the process is gone. */
  kill(): Promise<void> {
    this.#killed = true;
    const { exitCode, signalCode, pid } = this.#child;
    if (exitCode !== null || signalCode !== null || pid === undefined) return Promise.resolve();
    const gone = new Promise<void>((resolve) => this.#child.once("exit", () => resolve()));
    this.#child.kill("SIGKILL");
    return gone;
  }
}
