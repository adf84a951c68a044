/**
 * Runs the host tests in a browser-hosted VS Code with the packed extension installed: the in-host
 * suite, then the outside one. A line a test; pictures and logs stay in `out/host-tests`.
 *
 *   node scripts/host/run.ts [--vsix FILE] [--inside | --outside] [--only TEXT]
 *
 * Without `--vsix` the extension is packed from `dist/` first.
 */
import { mkdir, rm } from "node:fs/promises";
import { join, resolve } from "node:path";
import { parseArgs } from "node:util";
import { launchBrowser } from "./browser.ts";
import { ensureChromium } from "./chromium.ts";
import { ensureCodeServer } from "./codeServer.ts";
import { runInside } from "./inside.ts";
import { runOutside } from "./outside.ts";
import { packQuietly } from "./pack.ts";
import { Tally } from "./report.ts";
import { makeWorkspace } from "./workspace.ts";

const { values } = parseArgs({
  options: {
    vsix: { type: "string" },
    inside: { type: "boolean", default: false },
    outside: { type: "boolean", default: false },
    only: { type: "string" },
  },
});
const root = join(import.meta.dirname, "..", "..");
const results = join(root, "out", "host-tests");
await rm(results, { recursive: true, force: true });
await mkdir(results, { recursive: true });

const [chromium, codeServer] = await Promise.all([ensureChromium(), ensureCodeServer()]);
const missing = [chromium, codeServer].flatMap((tool) => ("missing" in tool ? [tool.missing] : []));
if ("path" in chromium && "path" in codeServer) {
  let vsix = values.vsix && resolve(values.vsix);
  if (!vsix) {
    vsix = join(results, "slabwright.vsix");
    console.log(await packQuietly(vsix));
  }
  const browser = await launchBrowser(chromium.path);
  const tally = new Tally();
  const common = { browser, codeServer: codeServer.path, vsix, results, tally, only: values.only };
  try {
    if (!values.outside) {
      const workspace = join(results, "inside");
      await makeWorkspace(workspace);
      await runInside({ ...common, workspace });
    }
    if (!values.inside) await runOutside(common);
  } finally {
    await browser.close();
  }
  if (tally.failed > 0) console.log(`Pictures and logs: ${results}`);
  console.log(`${tally.passed} passed, ${tally.failed} failed`);
  process.exitCode = tally.failed > 0 || tally.passed === 0 ? 1 : 0;
} else {
  console.log("NOT CHECKED: the extension in a real VS Code (preview, findings, fixes, export, trust).");
  for (const reason of missing) console.log(`  ${reason}`);
  process.exitCode = process.env.CI === "true" ? 1 : 0;
}
