import { homedir } from "node:os";
import { join } from "node:path";

/** Where the test host is kept between runs: outside the source tree, shared by all clones. */
export function cacheFolder(): string {
  return join(process.env.XDG_CACHE_HOME ?? join(homedir(), ".cache"), "slabwright-tests");
}

/**
 * The environment for a child that is no part of this package: without what `npm run` adds, which
 * would make a nested npm install into this folder, and without Node options of a debugger.
 */
export function plainEnvironment(): NodeJS.ProcessEnv {
  const env: NodeJS.ProcessEnv = {};
  for (const [name, value] of Object.entries(process.env)) {
    if (
      /^npm_(package|lifecycle|config_local_prefix|config_prefix|command|execpath|node_execpath)/.test(name)
    )
      continue;
    if (/^(INIT_CWD|NODE_ENV|NODE_OPTIONS|VSCODE_|ELECTRON_)/.test(name)) continue;
    env[name] = value;
  }
  return env;
}
