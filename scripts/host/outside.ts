import type { Browser } from "playwright-core";
import { join } from "node:path";
import { outsideTests } from "../../tests/host/outside/main.ts";
import type { Tally } from "./report.ts";
import { startServer, type HostServer } from "./server.ts";
import { makeWorkspace } from "./workspace.ts";

export interface OutsideOptions {
  browser: Browser;
  codeServer: string;
  vsix: string;
  results: string;
  tally: Tally;
  /** Runs only tests whose name holds this. */
  only?: string;
}

/** Runs what can only be seen from in front of the window: pictures, toasts, keys, trust. */
export async function runOutside(options: OutsideOptions): Promise<void> {
  const { browser, codeServer, vsix, results, tally, only = "" } = options;
  const start = (name: string, trusted: boolean): Promise<HostServer> =>
    startServer({ codeServer, data: join(results, name), vsix, trusted });
  const server = await start("outside-server", true);
  // One context: the editor's own scripts are compiled once.
  const context = await browser.newContext({ viewport: { width: 1366, height: 850 } });
  try {
    for (const [i, test] of outsideTests.entries()) {
      if (!test.name.includes(only)) continue;
      const begin = performance.now();
      let error: string | undefined;
      try {
        const workspace = join(results, `outside-${i + 1}`);
        await makeWorkspace(workspace);
        await test.run({
          browser: context,
          server,
          askingServer: () => start(`asking-server-${i + 1}`, false),
          workspace,
          results,
        });
      } catch (caught) {
        error = caught instanceof Error ? (caught.stack ?? caught.message) : String(caught);
      }
      tally.add({ name: test.name, error, milliseconds: performance.now() - begin });
    }
  } finally {
    await context.close();
    await server.stop();
  }
}
