/**
 * Takes a picture of each example for the READMEs: exports it with the built command, lays out the
 * STL files that come of it, by the manifest and nothing else, and draws them in a headless browser.
 *
 *     node scripts/picture.ts [NAME …]
 *
 * writes media/NAME.webp, of all examples unless some are named.
 */
import { build } from "esbuild";
import { spawnSync } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { manifestSchema } from "../shared/manifest.ts";
import { readStl } from "../src/dsl/output/stl.ts";
import { launchBrowser } from "./host/browser.ts";
import { ensureChromium } from "./host/chromium.ts";
import { Bench } from "./picture/bench.ts";
import { compose } from "./picture/compose.ts";
import { shots } from "./picture/shots.ts";
import type { Still } from "./picture/still.ts";

const root = join(import.meta.dirname, "..");
const asked = process.argv.slice(2);
const names = asked.length > 0 ? asked : Object.keys(shots);
const unknown = names.filter((name) => !(name in shots));
if (unknown.length > 0) {
  console.error(`No shot of ${unknown.join(", ")}. There are ${Object.keys(shots).join(", ")}.`);
  process.exit(2);
}

const chromium = await ensureChromium();
if ("missing" in chromium) throw new Error(chromium.missing);
const page = await build({
  entryPoints: [join(import.meta.dirname, "picture/page.ts")],
  bundle: true,
  write: false,
  format: "iife",
  target: "es2023",
  logLevel: "warning",
});
const out = await mkdtemp(join(tmpdir(), "slabwright-picture-"));
const browser = await launchBrowser(chromium.path);
try {
  for (const name of names) {
    const started = performance.now();
    const still = compose(shots[name](await benchesOf(name)));
    const tab = await browser.newPage();
    tab.on("console", (message) => {
      if (message.type() === "error") console.error(message.text());
    });
    await tab.addScriptTag({ content: page.outputFiles[0].text });
    const picture = await tab.evaluate((what: Still) => window.drawStill(what), still);
    await tab.close();
    const bytes = Buffer.from(picture.split(",")[1], "base64");
    const path = join(root, "media", `${name}.webp`);
    await writeFile(path, bytes);
    const seconds = ((performance.now() - started) / 1000).toFixed(0);
    console.log(
      `${relative(process.cwd(), path)}: ${still.solids.length} solids, ${still.passes} passes, ${(bytes.length / 1000).toFixed(0)} kB, ${seconds} s`,
    );
  }
} finally {
  await browser.close();
  await rm(out, { recursive: true, force: true });
}

/** The molds of an example, freshly exported. */
async function benchesOf(name: string): Promise<Bench[]> {
  const design = join(root, "examples", `${name}.mold.ts`);
  const { status, stderr } = spawnSync(
    process.execPath,
    [join(root, "dist/cli.mjs"), "export", design, "--out", out, "--formats", "stl"],
    { encoding: "utf8" },
  );
  if (status !== 0) throw new Error(`${name} was not exported: ${stderr}`);
  const folder = join(out, name);
  const manifest = manifestSchema.parse(JSON.parse(await readFile(join(folder, "manifest.json"), "utf8")));
  return Promise.all(
    manifest.molds.map(async (mold) => {
      const meshes = await Promise.all(
        mold.parts.map(async (part) => {
          if (part.file === null) throw new Error(`${part.name} was exported without its STL`);
          return [part.name, readStl(await readFile(join(folder, part.file)))] as const;
        }),
      );
      return new Bench(mold, new Map(meshes));
    }),
  );
}
