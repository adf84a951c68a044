import { spawn, type ChildProcess } from "node:child_process";
import { createWriteStream } from "node:fs";
import { mkdir, writeFile } from "node:fs/promises";
import { createServer } from "node:net";
import { join } from "node:path";
import { plainEnvironment } from "./cache.ts";

export interface HostServer {
  port: number;
  /** The server's own data: settings, logs, installed extensions. */
  data: string;
  /** The address that opens `folder`; `payload` is handed to the workbench. */
  address(folder: string, payload?: [string, string][]): string;
  stop(): Promise<void>;
}

export interface ServerOptions {
  /** Folder of the server as `ensureCodeServer` gives it. */
  codeServer: string;
  /** An empty or missing folder for the server's data and its log `server.log`. */
  data: string;
  /** Packed extension to install before the first window. */
  vsix?: string;
  /** Every folder is trusted: default. Otherwise the workbench asks. */
  trusted?: boolean;
  /** Lets an address start extension tests. */
  testDriver?: boolean;
  /** Variables for the extension host on top of the plain environment. */
  env?: Record<string, string>;
  port?: number;
  /** User settings on top of those that tests need. */
  settings?: Record<string, unknown>;
}

export function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.on("error", reject);
    probe.listen(0, "127.0.0.1", () => {
      const address = probe.address();
      if (address === null || typeof address === "string") return reject(new Error("no port"));
      probe.close(() => resolve(address.port));
    });
  });
}

async function answers(port: number): Promise<boolean> {
  try {
    const response = await fetch(`http://127.0.0.1:${port}/version`);
    return response.ok;
  } catch {
    return false;
  }
}

/** Starts the server and waits until it answers. Rejects with where its log is when it ends before. */
export async function startServer(options: ServerOptions): Promise<HostServer> {
  const { codeServer, data, vsix, trusted = true, testDriver = false, env = {}, settings = {} } = options;
  const port = options.port ?? (await freePort());
  // The browser-hosted editor saves after one second by itself; unsaved text would never be tested.
  const profile = JSON.stringify({
    "files.autoSave": "off",
    "telemetry.telemetryLevel": "off",
    "workbench.startupEditor": "none",
    "workbench.tips.enabled": false,
    "extensions.autoUpdate": false,
    "extensions.autoCheckUpdates": false,
    "chat.disableAIFeatures": true,
    "git.enabled": false,
    "workbench.secondarySideBar.defaultVisibility": "hidden",
    "security.workspace.trust.startupPrompt": "never",
    ...settings,
  });
  for (const place of ["User", "Machine"]) {
    await mkdir(join(data, "data", place), { recursive: true });
    await writeFile(join(data, "data", place, "settings.json"), profile);
  }
  const args = [
    join(codeServer, "out", "server-main.js"),
    ...["--host", "127.0.0.1", "--port", String(port)],
    "--without-connection-token",
    "--accept-server-license-terms",
    ...["--server-data-dir", data],
    "--disable-telemetry",
  ];
  if (vsix) args.push("--start-server", "--install-extension", vsix);
  if (trusted) args.push("--disable-workspace-trust");
  if (testDriver) args.push("--enable-smoke-test-driver");

  const child = spawn(process.execPath, args, {
    env: { ...plainEnvironment(), ...env },
    stdio: ["ignore", "pipe", "pipe"],
    detached: true,
  });
  const log = createWriteStream(join(data, "server.log"));
  child.stdout.pipe(log, { end: false });
  child.stderr.pipe(log, { end: false });
  let ended: number | null | undefined;
  child.on("close", (code) => (ended = code));

  for (let tries = 0; !(await answers(port)); tries++) {
    if (ended !== undefined || tries > 600) {
      await stopGroup(child);
      throw new Error(`The VS Code server did not start; its log is ${join(data, "server.log")}.`);
    }
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  return {
    port,
    data,
    address(folder, payload) {
      const query = new URLSearchParams({ folder });
      if (payload) query.set("payload", JSON.stringify(payload));
      return `http://127.0.0.1:${port}/?${query.toString()}`;
    },
    stop: () => stopGroup(child),
  };
}

/** Ends the server with the extension hosts and engine processes that it started. */
async function stopGroup(child: ChildProcess): Promise<void> {
  if (child.pid === undefined || child.exitCode !== null) return;
  const gone = new Promise<void>((resolve) => child.once("exit", () => resolve()));
  process.kill(-child.pid, "SIGTERM");
  const late = setTimeout(() => child.pid !== undefined && process.kill(-child.pid, "SIGKILL"), 5000);
  await gone;
  clearTimeout(late);
}
