import type { BrowserContext } from "playwright-core";
import type { HostServer } from "../../../scripts/host/server.ts";

/** What an outside test has at hand. */
export interface Outside {
  browser: BrowserContext;
  /** A server with the packed extension; every folder is trusted in it. */
  server: HostServer;
  /** Starts another server, in which the editor asks before it trusts a folder. */
  askingServer: () => Promise<HostServer>;
  /** A folder with the examples and the fixtures, the test's own. */
  workspace: string;
  /** For pictures. */
  results: string;
}

export interface OutsideTest {
  name: string;
  run: (outside: Outside) => Promise<void>;
}
