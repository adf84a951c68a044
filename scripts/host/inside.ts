import type { Browser } from "playwright-core";
import { build } from "esbuild";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Tally, TestLine } from "./report.ts";
import { startServer } from "./server.ts";

const root = join(import.meta.dirname, "..", "..");

/** The in-host suite as one file that an extension host can load. */
export async function bundleInside(outfile: string): Promise<void> {
  await build({
    absWorkingDir: root,
    entryPoints: ["tests/host/inside/main.ts"],
    outfile,
    bundle: true,
    platform: "node",
    format: "cjs",
    target: "node20",
    external: ["vscode"],
    sourcemap: "inline",
    logLevel: "warning",
  });
}

/** A development folder has to be named for tests to start; the extension under test is the installed one. */
export async function makeHelperExtension(folder: string): Promise<void> {
  await mkdir(folder, { recursive: true });
  const manifest = { name: "helper", publisher: "tests", version: "0.0.1", engines: { vscode: "^1.101.0" } };
  await writeFile(join(folder, "package.json"), JSON.stringify(manifest));
}

async function readLines(file: string): Promise<string[]> {
  try {
    return (await readFile(file, "utf8")).split("\n").slice(0, -1);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return [];
    throw error;
  }
}

export interface InsideOptions {
  browser: Browser;
  codeServer: string;
  vsix: string;
  /** Folder that the window opens: designs to test with. */
  workspace: string;
  /** Receives logs, the report and, when something fails, the last picture. */
  results: string;
  tally: Tally;
  /** Runs only tests whose name holds this. */
  only?: string;
  timeLimitMs?: number;
}

/** Runs the suite that has the whole editor API at hand, from the installed VSIX. */
export async function runInside(options: InsideOptions): Promise<void> {
  const {
    browser,
    codeServer,
    vsix,
    workspace,
    results,
    tally,
    only = "",
    timeLimitMs = 1_200_000,
  } = options;
  const suite = join(results, "inside.cjs");
  const helper = join(results, "helper");
  const report = join(results, "inside.jsonl");
  await Promise.all([bundleInside(suite), makeHelperExtension(helper)]);
  const server = await startServer({
    codeServer,
    data: join(results, "inside-server"),
    vsix,
    testDriver: true,
    env: {
      SLABWRIGHT_TEST_REPORT: report,
      SLABWRIGHT_TEST_ONLY: only,
      SLABWRIGHT_TEST_CLI: join(root, "dist", "cli.mjs"),
      SLABWRIGHT_TEST_NODE: process.execPath,
    },
  });
  const failedBefore = tally.failed;
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  try {
    const remote = (path: string) => `vscode-remote://127.0.0.1:${server.port}${path}`;
    await page.goto(
      server.address(workspace, [
        ["extensionDevelopmentPath", remote(helper)],
        ["extensionTestsPath", remote(suite)],
      ]),
      { waitUntil: "commit", timeout: 120_000 },
    );
    const started = performance.now();
    for (let seen = 0; ;) {
      const lines = await readLines(report);
      for (const text of lines.slice(seen)) {
        const line = JSON.parse(text) as TestLine | { ended: true };
        if ("ended" in line) return;
        tally.add(line);
      }
      seen = lines.length;
      const milliseconds = performance.now() - started;
      if (milliseconds > timeLimitMs) {
        tally.add({ name: "in-host run", error: `no end within ${timeLimitMs / 1000} s`, milliseconds });
        return;
      }
      await page.waitForTimeout(100);
    }
  } finally {
    if (tally.failed > failedBefore) await page.screenshot({ path: join(results, "inside.png") });
    await page.close();
    await server.stop();
  }
}
