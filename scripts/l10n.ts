/**
 * Writes `l10n/bundle.l10n.json`: every English sentence that the editor shows, for translators and
 * for the editor to look translations up by. With `--check` nothing is written, and the exit status
 * says whether the bundle is current.
 */
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { bundleText } from "./l10n/bundle.ts";

const root = join(import.meta.dirname, "..");
const file = join(root, "l10n", "bundle.l10n.json");
const text = await bundleText(root);

if (process.argv.includes("--check")) {
  const there = await readFile(file, "utf8").catch(() => "");
  if (there !== text) {
    console.error("l10n/bundle.l10n.json is not current: run npm run l10n");
    process.exitCode = 1;
  }
} else {
  await mkdir(dirname(file), { recursive: true });
  await writeFile(file, text);
}
