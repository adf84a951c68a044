/**
 * Shows what Slabwright does: exports the octagon beaker into `out/` with the built command, prints
 * its parts, packs the extension, and says how to look at both.
 */
import { spawnSync } from "node:child_process";
import { statSync } from "node:fs";
import { join, relative } from "node:path";
import type { ExportResult } from "../shared/engine.ts";
import { partTable } from "../src/dsl/cli/table.ts";

const root = join(import.meta.dirname, "..");
const design = "examples/octagon-beaker.mold.ts";

/** What `export --json` writes, as far as it is shown here. */
interface Exported {
  folder: string | null;
  files: ExportResult["files"];
  parts: ExportResult["parts"];
  findings: { severity: string; message: string }[];
}

const started = performance.now();
const { status, stdout } = spawnSync(
  process.execPath,
  [join(root, "dist/cli.mjs"), "export", design, "--out", "out", "--json"],
  // Findings and problems are the maker's to read as they come.
  { cwd: root, encoding: "utf8", maxBuffer: 64 << 20, stdio: ["ignore", "pipe", "inherit"] },
);
if (status !== 0) {
  console.error(`${design} was not exported.`);
  process.exit(status ?? 1);
}
const { folder, files, parts, findings } = JSON.parse(stdout) as Exported;
if (folder === null) throw new Error("an export that went well named no folder");
const seconds = (performance.now() - started) / 1000;

const packed = spawnSync(process.execPath, [join(root, "scripts/package.ts")], {
  cwd: root,
  encoding: "utf8",
});
if (packed.status !== 0) {
  console.error(`slabwright.vsix was not packed:\n${packed.stdout}${packed.stderr}`);
  process.exit(1);
}
const { size: bytes } = statSync(join(root, "slabwright.vsix"));

const here = (path: string) => relative(process.cwd(), join(root, path)) || ".";
console.log(`
${design} → ${here(folder)}

${partTable(parts)}

findings   ${findings.length === 0 ? "none" : findings.length}
folder     ${here(folder)}: ${files.length + 1} files, written and read back in ${seconds.toFixed(1)} s
extension  ${here("slabwright.vsix")}: ${(bytes / 1e6).toFixed(1)} MB

To open it:
  code --install-extension ${here("slabwright.vsix")}
  code ${here(".")}     then open ${design} and press Ctrl+K V (Cmd+K V on a Mac)
No VS Code here? npm run try opens one in the browser.
`);
