/**
 * A thread beside the engine. It answers while the engine is in a loop without end: says where
 * the design is, and how much memory the process takes. It ends the process when the host is gone.
 */
import { Session, type Debugger } from "node:inspector";
import { Socket } from "node:net";
import { fileURLToPath } from "node:url";
import { parentPort, workerData } from "node:worker_threads";
import { WATCH_FD, type WatchCommand, type WatchedFrame, type WatchReport } from "./watch-messages.ts";

const { limitMB } = workerData as { limitMB: number };
const POLL_MS = 25;
/** How long the program may take to stop where it can be looked at. */
const PAUSE_MS = 1000;

const pipe = new Socket({ fd: WATCH_FD });
const report = (one: WatchReport) => pipe.write(JSON.stringify(one) + "\n");

/** Stops the engine's thread for a moment and reads its stack. */
function lookAtMainThread(then: (frames: WatchedFrame[] | null) => void): void {
  const session = new Session();
  try {
    session.connectToMainThread();
  } catch {
    then(null);
    return;
  }
  let done = false;
  const end = (frames: WatchedFrame[] | null) => {
    if (done) return;
    done = true;
    clearTimeout(timer);
    then(frames);
    session.post("Debugger.resume");
    session.post("Debugger.disable");
    session.disconnect();
  };
  const timer = setTimeout(() => end(null), PAUSE_MS);
  // Frames carry the addresses of their scripts only by number.
  const addresses = new Map<string, string>();
  session.on("Debugger.scriptParsed", ({ params }: { params: Debugger.ScriptParsedEventDataType }) =>
    addresses.set(params.scriptId, params.url),
  );
  session.on("Debugger.paused", ({ params }: { params: Debugger.PausedEventDataType }) =>
    end(
      params.callFrames.map(({ location }) => ({
        file: pathOf(addresses.get(location.scriptId) ?? ""),
        line: location.lineNumber + 1,
        column: (location.columnNumber ?? 0) + 1,
      })),
    ),
  );
  session.post("Debugger.enable");
  session.post("Debugger.pause");
}

/** The debugger makes an address of each path. */
function pathOf(address: string): string {
  return address.startsWith("file:") ? fileURLToPath(address) : address;
}

const rssMB = () => process.memoryUsage.rss() / 2 ** 20;

let poll: NodeJS.Timeout | undefined;
/** The share of the limit at which the next look is taken. */
let nextLook = 0;
let looking = false;

function checkMemory(): void {
  const now = rssMB();
  const share = now / limitMB;
  if (looking || share < Math.min(nextLook, 1)) return;
  looking = true;
  nextLook = share + 0.15;
  lookAtMainThread((frames) => {
    looking = false;
    report({ type: share >= 1 ? "memory" : "rising", rssMB: now, frames });
  });
}

function obey(command: WatchCommand): void {
  clearInterval(poll);
  switch (command) {
    case "busy":
      nextLook = Math.max(0.3, rssMB() / limitMB + 0.15);
      poll = setInterval(checkMemory, POLL_MS);
      return;
    case "idle":
      return;
    case "where":
      lookAtMainThread((frames) => report({ type: "where", frames }));
  }
}

let rest = "";
pipe.setEncoding("utf8");
pipe.on("data", (chunk: string) => {
  const lines = (rest + chunk).split("\n");
  rest = lines.pop() ?? "";
  for (const line of lines) obey(line as WatchCommand);
});
// Nobody is left to stop a loop without end.
const hostIsGone = () => process.kill(process.pid, "SIGKILL");
pipe.on("close", hostIsGone);
pipe.on("error", hostIsGone);

parentPort?.postMessage("watching");
