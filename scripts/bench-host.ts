import type { Page } from "playwright-core";
import { mkdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { launchBrowser } from "./host/browser.ts";
import { ensureChromium } from "./host/chromium.ts";
import { ensureCodeServer } from "./host/codeServer.ts";
import { runInHost } from "./host/inside.ts";
import { packQuietly } from "./host/pack.ts";
import { makeWorkspace } from "./host/workspace.ts";

/**
 * Runs a bench in the browser-hosted editor with the packed extension. Throws where the editor is
 * not to be had, or the bench comes to no end or to an error.
 */
export async function benchInHost<Line extends object>(
  name: string,
  entry: string,
  env: Record<string, string>,
  hear: (line: Line, page: Page) => Promise<void> | void,
): Promise<void> {
  const results = join(import.meta.dirname, "..", "out", name);
  await rm(results, { recursive: true, force: true });
  await mkdir(results, { recursive: true });
  const [chromium, codeServer] = await Promise.all([ensureChromium(), ensureCodeServer()]);
  if ("missing" in chromium) throw new Error(chromium.missing);
  if ("missing" in codeServer) throw new Error(codeServer.missing);
  const vsix = join(results, "slabwright.vsix");
  await packQuietly(vsix);
  const workspace = join(results, "workspace");
  await makeWorkspace(workspace);
  const browser = await launchBrowser(chromium.path);
  try {
    const options = {
      browser,
      codeServer: codeServer.path,
      vsix,
      workspace,
      results,
      timeLimitMs: 3_600_000,
    };
    const screenshot = (page: Page) =>
      page.screenshot({ path: join(results, "last.png") }).then(() => undefined);
    const ended = await runInHost(options, { entry, env }, hear, screenshot);
    if (!ended) throw new Error("no end within an hour");
    if (ended.error !== undefined) throw new Error(ended.error);
  } finally {
    await browser.close();
  }
}
