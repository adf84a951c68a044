import { once } from "node:events";
import { setTimeout } from "node:timers/promises";
import { inspect } from "node:util";
import { Worker } from "node:worker_threads";
import type { EngineReply, EngineRequest } from "../../../shared/engine.ts";
import { measureBars } from "./measure.ts";
import { Cancelled, Engine, type Parts } from "./engine.ts";

/** ms without a request after which a process counts as standing by. */
const IDLE_MS = 100;

const rssMB = () => process.memoryUsage.rss() / 2 ** 20;

const send = (reply: EngineReply): void => {
  process.send?.(reply);
};

/** Answers the host's requests over IPC until the host is gone, with the watch beside. */
export function serve(parts: Parts): void {
  const engine = new Engine(parts, send);

  const answer = async (request: EngineRequest): Promise<void> => {
    switch (request.type) {
      case "build":
        send({ type: "built", id: request.id, result: await engine.build(request), rssMB: rssMB() });
        return;
      case "export":
        send({ type: "exported", id: request.id, result: await engine.export(request), rssMB: rssMB() });
        return;
      case "cure":
        send({ type: "cured", id: request.id, result: await engine.cure(request), rssMB: rssMB() });
        return;
      case "measure":
        send({ type: "measured", id: request.id, result: measureBars(request), rssMB: rssMB() });
        return;
      case "cancel":
        engine.cancel(request.id);
    }
  };

  // A thread needs its parent's now and then until it is up; a loop without end would keep it from
  // starting, and then nobody could say where the loop is.
  const watch = new URL(import.meta.url.endsWith(".ts") ? "./watch.ts" : "./watch.mjs", import.meta.url);
  const worker = new Worker(watch, { workerData: { limitMB: Number(process.argv[2]) } });
  const watched = once(worker, "message");
  worker.unref();

  let asked = false;
  process.on("message", (request: EngineRequest) => {
    asked = true;
    const answered = request.type === "cancel" ? answer(request) : watched.then(() => answer(request));
    answered.catch((error: unknown) => {
      if (error instanceof Cancelled) return send({ type: "cancelled", id: request.id });
      const { message, stack = "" } = error instanceof Error ? error : new Error(String(error));
      send({ type: "failed", id: request.id, message, stack });
    });
  });
  process.on("disconnect", () => process.exit());
  process.on("unhandledRejection", (reason) => {
    if (engine.rejected(reason)) return;
    const shown = inspect(reason, { customInspect: false });
    process.stderr.write(`a promise was rejected and nobody looked: ${shown}\n`);
  });

  engine.warmUp();
  void watched.then(async () => {
    send({ type: "ready" });
    await setTimeout(IDLE_MS);
    // A process that stands by has the time.
    if (!asked) await engine.warmUpWork();
  });
}
