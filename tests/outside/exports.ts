import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import {
  manifestSchema,
  type Manifest,
  type ManifestMold,
  type ManifestPart,
} from "../../shared/manifest.ts";
import { exportMolds } from "../../src/dsl/output/export.ts";
import { box, part, tubeMold } from "../unit/output/fixture.ts";

export const root = join(import.meta.dirname, "../..");
export const CLI = join(root, "dist/cli.mjs");

export interface Exported {
  folder: string;
  manifest: Manifest;
}

/** Runs the built command as a maker would. */
export function slabwright(words: string[], cwd = root) {
  return spawnSync(process.execPath, [CLI, ...words], { cwd, encoding: "utf8" });
}

const read = (folder: string): Exported => ({
  folder,
  manifest: manifestSchema.parse(JSON.parse(readFileSync(join(folder, "manifest.json"), "utf8"))),
});

/** Every example, exported by the built command, and one made-up mold that takes several plates. */
export async function exportAll(): Promise<Exported[]> {
  const out = mkdtempSync(join(tmpdir(), "slabwright-outside-"));
  const examples = readdirSync(join(root, "examples")).filter((name) => name.endsWith(".mold.ts"));
  const exported = examples.map((name) => {
    const { status, stderr } = slabwright(["export", join("examples", name), "--out", out]);
    if (status !== 0) throw new Error(`${name} was not exported (${status}): ${stderr}`);
    return read(join(out, name.replace(".mold.ts", "")));
  });
  const extra = [0, 1, 2].map((n) => part(`block-${n}`, "rail", box(180, 150, 10)));
  const { folder } = await exportMolds({
    design: "several-plates",
    source: "/several-plates.mold.ts",
    molds: [tubeMold({ extra })],
    findings: [],
    out,
    formats: [],
  });
  if (folder === undefined) throw new Error("several-plates was not exported");
  return [...exported, read(folder)];
}

/** Every part of every mold with a name for the title of a test. */
export function partsOf(
  exported: readonly Exported[],
): { title: string; path: string; part: ManifestPart }[] {
  return exported.flatMap(({ folder, manifest }) =>
    manifest.molds.flatMap(({ parts }) =>
      parts.map((part) => ({
        title: `${manifest.design} ${part.file ?? part.name}`,
        path: join(folder, part.file ?? ""),
        part,
      })),
    ),
  );
}

/** Every 3MF file with the mold that it belongs to; `plate` is null for the file of all plates. */
export function threeMfOf(
  exported: readonly Exported[],
): { title: string; path: string; mold: ManifestMold; plate: number | null }[] {
  return exported.flatMap(({ folder, manifest }) =>
    manifest.files
      .filter(({ path }) => path.endsWith(".3mf"))
      .map(({ path }) => {
        const mold = manifest.molds.find(({ name }) => path.startsWith(`${name}/`));
        if (!mold) throw new Error(`${path} belongs to no mold`);
        const plate = /-plate(\d+)\.3mf$/.exec(path);
        return {
          title: `${manifest.design} ${path}`,
          path: join(folder, path),
          mold,
          plate: plate ? Number(plate[1]) : null,
        };
      }),
  );
}
