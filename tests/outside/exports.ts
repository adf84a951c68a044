import { spawnSync } from "node:child_process";
import { cpSync, existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { inject } from "vitest";
import {
  manifestSchema,
  type Manifest,
  type ManifestMold,
  type ManifestPart,
} from "../../shared/manifest.ts";
import { exportMolds } from "../../src/dsl/output/export.ts";
import { box, part, tubeMold } from "../unit/output/fixture.ts";
import { designs } from "./designs.ts";

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

/**
 * Every example and every design of these tests, exported by the built command from a folder that
 * holds nothing else, and one made-up mold that takes several plates. What one file of tests has
 * exported, the next one reads.
 */
export async function exportAll(): Promise<Exported[]> {
  const home = inject("exports");
  const out = join(home, "out");
  const names = [...copyExamples(home), ...Object.keys(designs)];
  const done = join(home, "done");
  if (!existsSync(done)) {
    for (const [name, text] of Object.entries(designs)) writeFileSync(join(home, `${name}.mold.ts`), text);
    for (const name of names) {
      const { status, stderr } = slabwright(["export", `${name}.mold.ts`, "--formats", "stl,3mf"], home);
      if (status !== 0) throw new Error(`${name} was not exported (${status}): ${stderr}`);
    }
    const extra = [0, 1, 2].map((n) => part(`block-${n}`, "rail", box(180, 150, 10)));
    const { folder } = await exportMolds({
      design: SEVERAL,
      source: `/${SEVERAL}.mold.ts`,
      molds: [tubeMold({ extra })],
      findings: [],
      out,
      formats: [],
    });
    if (folder === undefined) throw new Error(`${SEVERAL} was not exported`);
    writeFileSync(done, "");
  }
  return [...names, SEVERAL].map((name) => read(join(out, name)));
}

const SEVERAL = "several-plates";

/** Copies the examples into a folder; gives their names. */
export function copyExamples(folder: string): string[] {
  const files = readdirSync(join(root, "examples")).filter((name) => name.endsWith(".mold.ts"));
  for (const file of files) cpSync(join(root, "examples", file), join(folder, file));
  return files.map((file) => file.replace(".mold.ts", ""));
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
