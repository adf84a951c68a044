/**
 * Runs the in-host suite in a desktop VS Code, which is fetched when it is not there: for machines
 * with a display and the internet.
 */
import {
  downloadAndUnzipVSCode,
  resolveCliArgsFromVSCodeExecutablePath,
  runTests,
} from "@vscode/test-electron";
import { mkdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { cacheFolder, plainEnvironment } from "./cache.ts";
import { runCommand } from "./command.ts";
import { bundleInside, makeHelperExtension } from "./inside.ts";
import { packQuietly } from "./pack.ts";
import { makeWorkspace } from "./workspace.ts";

const root = join(import.meta.dirname, "..", "..");
const results = join(root, "out", "desktop-tests");
await rm(results, { recursive: true, force: true });
await mkdir(results, { recursive: true });
const suite = join(results, "inside.cjs");
const helper = join(results, "helper");
const workspace = join(results, "workspace");
const vsix = join(results, "slabwright.vsix");
await Promise.all([
  bundleInside(suite),
  makeHelperExtension(helper),
  makeWorkspace(workspace),
  packQuietly(vsix),
]);

const executable = await downloadAndUnzipVSCode({ cachePath: join(cacheFolder(), "desktop") });
const [program, ...args] = resolveCliArgsFromVSCodeExecutablePath(executable);
const folders = args.filter((argument) => /^--(extensions-dir|user-data-dir)=/.test(argument));
await runCommand(program, [...args, "--install-extension", vsix], { env: plainEnvironment() });
await runTests({
  vscodeExecutablePath: executable,
  extensionDevelopmentPath: helper,
  extensionTestsPath: suite,
  launchArgs: [workspace, "--disable-workspace-trust", ...folders],
  extensionTestsEnv: {
    SLABWRIGHT_TEST_CLI: join(root, "dist", "cli.mjs"),
    SLABWRIGHT_TEST_NODE: process.execPath,
  },
});
