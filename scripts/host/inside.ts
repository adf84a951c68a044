import type { Browser, Page } from "playwright-core";
import { build } from "esbuild";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { Tally, TestLine } from "./report.ts";
import { startServer } from "./server.ts";

const root = join(import.meta.dirname, "..", "..");

/**
 * The in-host suite, or another program for the extension host, as one file that it can load. It
 * reports its end, and the error where it ends with one.
 */
export async function bundleInside(outfile: string, entry = "tests/host/inside/main.ts"): Promise<void> {
  const contents = `
    import { run as work } from "./${entry}";
    import { report } from "./tests/host/inside/report.ts";
    export async function run() {
      try {
        await work();
        report({ ended: true });
      } catch (error) {
        report({ ended: true, error: error instanceof Error ? error.stack : String(error) });
        throw error;
      }
    }`;
  await build({
    absWorkingDir: root,
    stdin: { contents, resolveDir: root, sourcefile: "run.ts", loader: "ts" },
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

export interface HostOptions {
  browser: Browser;
  codeServer: string;
  vsix: string;
  /** Folder that the window opens: designs to test with. */
  workspace: string;
  /** Receives logs and the report. */
  results: string;
  timeLimitMs?: number;
}

/** The last line of a program: it is through, or came to nothing by an error. */
interface Ended {
  ended: true;
  error?: string;
}

/**
 * Runs a program with the whole editor API in an extension host, beside the installed VSIX. `hear`
 * gets each JSON line that it reports, until one says that it has `ended`, which is given;
 * undefined when the time was over before. `last` sees the window before it closes.
 */
export async function runInHost<Line extends object>(
  options: HostOptions,
  program: { entry: string; env: Record<string, string> },
  hear: (line: Line, page: Page) => Promise<void> | void,
  last: (page: Page) => Promise<void> = () => Promise.resolve(),
): Promise<Ended | undefined> {
  const { browser, codeServer, vsix, workspace, results, timeLimitMs = 1_200_000 } = options;
  const suite = join(results, "inside.cjs");
  const helper = join(results, "helper");
  const report = join(results, "inside.jsonl");
  await Promise.all([bundleInside(suite, program.entry), makeHelperExtension(helper)]);
  const env = { SLABWRIGHT_TEST_REPORT: report, ...program.env };
  const data = join(results, "inside-server");
  const server = await startServer({ codeServer, data, vsix, testDriver: true, env });
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  try {
    const remote = (path: string) => `vscode-remote://127.0.0.1:${server.port}${path}`;
    const address = server.address(workspace, [
      ["extensionDevelopmentPath", remote(helper)],
      ["extensionTestsPath", remote(suite)],
    ]);
    await page.goto(address, { waitUntil: "commit", timeout: 120_000 });
    const end = performance.now() + timeLimitMs;
    for (let seen = 0; performance.now() < end;) {
      const lines = await readLines(report);
      for (const text of lines.slice(seen)) {
        const line = JSON.parse(text) as Line | Ended;
        if ("ended" in line) return line;
        await hear(line, page);
      }
      seen = lines.length;
      await page.waitForTimeout(20);
    }
    return undefined;
  } finally {
    await last(page);
    await page.close();
    await server.stop();
  }
}

export interface InsideOptions extends HostOptions {
  tally: Tally;
  /** Runs only tests whose name holds this. */
  only?: string;
}

/** Runs the suite that has the whole editor API at hand, from the installed VSIX. */
export async function runInside(options: InsideOptions): Promise<void> {
  const { results, tally, only = "" } = options;
  const failedBefore = tally.failed;
  const started = performance.now();
  const ended = await runInHost<TestLine>(
    options,
    {
      entry: "tests/host/inside/main.ts",
      env: {
        SLABWRIGHT_TEST_ONLY: only,
        SLABWRIGHT_TEST_CLI: join(root, "dist", "cli.mjs"),
        SLABWRIGHT_TEST_NODE: process.execPath,
        SLABWRIGHT_TEST_PATIENCE: process.env.SLABWRIGHT_TEST_PATIENCE ?? "1",
      },
    },
    (line) => tally.add(line),
    async (page) => {
      if (tally.failed > failedBefore) await page.screenshot({ path: join(results, "inside.png") });
    },
  );
  const milliseconds = performance.now() - started;
  const error = ended ? ended.error : "no end within its time";
  // Tests that fail have told so themselves.
  if (error !== undefined && tally.failed === failedBefore) {
    tally.add({ name: "in-host run", error, milliseconds });
  }
}
