/**
 * Packs `slabwright.vsix` from `dist/`: the same bytes for the same input, whenever and wherever it
 * is packed. `SOURCE_DATE_EPOCH` (seconds) dates the files inside; without it that is 1 January 1980,
 * the first day a zip can hold.
 *
 *   node scripts/package.ts [TARGET]
 */
import { createVSIX } from "@vscode/vsce";
import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { basename, join } from "node:path";

const root = join(import.meta.dirname, "..");
const firstZipDay = "315532800";

/** Packs into `target`, listing what goes in. Gives its size in bytes and its SHA-256. */
async function packExtension(target: string): Promise<{ bytes: number; sha256: string }> {
  process.env.SOURCE_DATE_EPOCH ??= firstZipDay;
  await createVSIX({
    cwd: root,
    packagePath: target,
    // Everything is bundled; the README's pictures are in the package and there is no repository to point to.
    dependencies: false,
    allowMissingRepository: true,
    rewriteRelativeLinks: false,
  });
  const packed = await readFile(target);
  return { bytes: packed.length, sha256: createHash("sha256").update(packed).digest("hex") };
}

if (import.meta.main) {
  const target = process.argv[2] ?? join(root, "slabwright.vsix");
  const { bytes, sha256 } = await packExtension(target);
  console.log(`${basename(target)}  ${(bytes / 1e6).toFixed(2)} MB  sha256 ${sha256}`);
}
