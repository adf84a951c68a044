/**
 * Takes a picture of an exported design for the README: reads the STL files and the manifest that
 * `npm run slabwright -- export` wrote, and nothing else. Usage:
 *
 *     node scripts/picture.ts [FOLDER] [PNG]
 *
 * FOLDER is `out/octagon-beaker` unless said otherwise, PNG `media/octagon-beaker.png`.
 */
import { build } from "esbuild";
import { readFile, writeFile } from "node:fs/promises";
import { join, relative } from "node:path";
import { manifestSchema } from "../shared/manifest.ts";
import { readStl } from "../src/dsl/output/stl.ts";
import { launchBrowser } from "./host/browser.ts";
import { ensureChromium } from "./host/chromium.ts";
import { compose } from "./picture/compose.ts";
import type { Still } from "./picture/still.ts";

const root = join(import.meta.dirname, "..");
const folder = process.argv[2] ?? join(root, "out/octagon-beaker");
const png = process.argv[3] ?? join(root, "media/octagon-beaker.png");

const manifest = manifestSchema.parse(JSON.parse(await readFile(join(folder, "manifest.json"), "utf8")));
const [mold] = manifest.molds;
const meshes = new Map(
  await Promise.all(
    mold.parts.map(async ({ name, file }) => {
      if (file === null) throw new Error(`${name} was exported without its STL`);
      return [name, readStl(await readFile(join(folder, file)))] as const;
    }),
  ),
);
const still = compose(mold, meshes);

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
const browser = await launchBrowser(chromium.path);
try {
  const tab = await browser.newPage();
  tab.on("console", (message) => {
    if (message.type() === "error") console.error(message.text());
  });
  await tab.addScriptTag({ content: page.outputFiles[0].text });
  const picture = await tab.evaluate((what: Still) => window.drawStill(what), still);
  await writeFile(png, Buffer.from(picture.split(",")[1], "base64"));
  console.log(`${relative(process.cwd(), png)}: ${still.solids.length} solids, ${still.passes} passes`);
} finally {
  await browser.close();
}
