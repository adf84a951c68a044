/**
 * Bundles everything that ships into `dist/`: the command, the engine process, the kit with its
 * types, the extension and its webview. Run by `npm ci` through `prepare`.
 */
import { build, type BuildOptions, type Plugin } from "esbuild";
import { copyFile, mkdir, rm, writeFile } from "node:fs/promises";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { settingsJsonSchema } from "../shared/settings.ts";
import { kitTypes, solidsTypes } from "./types.ts";

const root = join(import.meta.dirname, "..");
const dist = join(root, "dist");

const shared: BuildOptions = {
  absWorkingDir: root,
  bundle: true,
  minify: true,
  keepNames: true,
  sourcemap: false,
  legalComments: "none",
  logLevel: "warning",
  target: "es2023",
};

const node: BuildOptions = {
  ...shared,
  platform: "node",
  format: "esm",
  target: "node20",
  // The universal modules of some packages ask for their own parts in a way that cannot be bundled.
  mainFields: ["module", "main"],
  // Bundled CommonJS packages ask for `require` of Node's own modules.
  banner: {
    js: 'import { createRequire as __createRequire } from "node:module"; const require = __createRequire(import.meta.url);',
  },
};

const editor: BuildOptions = { ...shared, platform: "node", format: "cjs", external: ["vscode"] };

/** Leaves an import for run time, so that the entry stays small and the rest is read when it is needed. */
const apartFromEntry = (source: string, built: string): Plugin => ({
  name: `apart ${source}`,
  setup: (build) =>
    build.onResolve({ filter: /^\./ }, ({ path }) =>
      path === source ? { path: built, external: true } : undefined,
    ),
});

const entries: { from: string; options: BuildOptions }[] = [
  { from: "src/dsl/cli/main.ts", options: { ...node, outfile: "dist/cli.mjs" } },
  { from: "src/dsl/engine/child.ts", options: { ...node, outfile: "dist/engine.mjs" } },
  { from: "src/dsl/engine/watch.ts", options: { ...node, outfile: "dist/watch.mjs" } },
  { from: "src/dsl/index.ts", options: { ...node, outfile: "dist/kit.mjs" } },
  {
    from: "src/extension/main.ts",
    options: {
      ...editor,
      plugins: [apartFromEntry("./session.ts", "./session.cjs")],
      outfile: "dist/extension.cjs",
    },
  },
  { from: "src/extension/session.ts", options: { ...editor, outfile: "dist/session.cjs" } },
  {
    from: "src/preview/main.ts",
    options: { ...shared, platform: "browser", format: "iife", outfile: "dist/preview.js" },
  },
  { from: "src/preview/preview.css", options: { ...shared, outfile: "dist/preview.css" } },
];

await rm(dist, { recursive: true, force: true });
await mkdir(dist, { recursive: true });
for (const { from, options } of entries) {
  if (!existsSync(join(root, from))) continue;
  await build({ ...options, entryPoints: [from] });
}
await copyFile(join(root, "node_modules/manifold-3d/manifold.wasm"), join(dist, "manifold.wasm"));
await writeFile(join(dist, "slabwright.schema.json"), JSON.stringify(settingsJsonSchema(), null, 2) + "\n");
await mkdir(join(dist, "types"), { recursive: true });
await writeFile(join(dist, "types/slabwright.d.ts"), kitTypes(root));
await writeFile(join(dist, "types/jscad-modeling.d.ts"), solidsTypes(root));
