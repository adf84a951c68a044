import { basename, join, resolve } from "node:path";
import type { ExportFormat, ExportResult } from "../../../shared/engine.ts";
import type { LocatedFinding } from "../../../shared/finding.ts";
import type { Manifest, ManifestFile } from "../../../shared/manifest.ts";
import type { MoldModel } from "../mold/model.ts";
import { MANIFEST, occupantOf, sha256 } from "./folder.ts";
import { buildManifest, manifestJson, type PrintedMold } from "./manifest.ts";
import { fileName, fileNames } from "./names.ts";
import { printMold } from "./printed.ts";
import { diskRefusal, formatRefusal, occupiedRefusal, refused } from "./refusals.ts";
import { stage, type Staging } from "./swap.ts";
import { writableFormats, writers, type MoldFile } from "./writers.ts";

export interface ExportInput {
  /** Name of the design, and of its folder. */
  design: string;
  /** Absolute path of the design's file. */
  source: string;
  molds: readonly MoldModel[];
  findings: readonly LocatedFinding[];
  /** Absolute folder that receives `<design>/`. */
  out: string;
  /** Empty: all that can be written. */
  formats: readonly ExportFormat[];
  onProgress?: (done: number, total: number, what: string) => void;
}

/**
 * Writes every file of a design into `<out>/<design>/` and takes the place of the previous export
 * at one stroke. The files are written beside it, read back and checked first: anything wrong with
 * them throws and leaves the previous export as it was. A format that is not there yet, a folder
 * that holds work of the maker's own, or one that cannot be written comes back as a problem, and
 * nothing is written.
 */
export async function exportMolds(input: ExportInput): Promise<ExportResult> {
  const { source, findings } = input;
  const missing = input.formats.filter((format) => !writableFormats.includes(format));
  if (missing.length > 0) return refused(formatRefusal(missing), source, findings);
  const formats = input.formats.length > 0 ? [...new Set(input.formats)] : writableFormats;
  const target = join(resolve(input.out), fileName(input.design, "design"));
  try {
    return await replaceExport(input, formats, target);
  } catch (error) {
    const refusal = diskRefusal(target, error);
    if (!refusal) throw error;
    return refused(refusal, source, findings);
  }
}

async function replaceExport(
  input: ExportInput,
  formats: readonly ExportFormat[],
  target: string,
): Promise<ExportResult> {
  const { source, findings } = input;
  const before = await occupantOf(target);
  if (before.kind === "maker") return refused(occupiedRefusal(target, before), source, findings);
  const staging = await stage(target);
  try {
    const manifest = await writeAll(input, formats, staging);
    // Exporting takes a while: the maker may have put something there since.
    const now = await occupantOf(target);
    if (now.kind === "maker") {
      await staging.discard();
      return refused(occupiedRefusal(target, now), source, findings);
    }
    await staging.commit();
    return { findings: [...findings], folder: target, files: manifest.files, parts: printedRows(manifest) };
  } catch (error) {
    await staging.discard();
    throw error;
  }
}

/** Writes and checks all files of the design, the manifest last. */
async function writeAll(
  { design, source, molds, findings, onProgress }: ExportInput,
  formats: readonly ExportFormat[],
  staging: Staging,
): Promise<Manifest> {
  const folders = fileNames(
    molds.map((mold) => mold.name),
    "mold",
  );
  const total = molds.length * (1 + formats.length) + 1;
  let done = 0;
  const step = (what: string) => onProgress?.(done++, total, what);
  const files: ManifestFile[] = [];
  const printed: PrintedMold[] = [];
  for (const [index, model] of molds.entries()) {
    step(`${model.name}: laying the parts on the bed`);
    const parts = printMold(model, folders[index], formats);
    printed.push({ model, parts: parts.map(({ entry }) => entry) });
    for (const format of formats) {
      step(`${model.name}: ${format}`);
      for (const file of writers[format]?.(model, folders[index], parts) ?? []) {
        files.push(await writeChecked(staging, file));
      }
    }
  }
  step("manifest");
  const manifest = buildManifest({ design, source, files, molds: printed, findings });
  await staging.write(MANIFEST, manifestJson(manifest));
  onProgress?.(total, total, "done");
  return manifest;
}

/** Writes a file, reads it back from the disk and has it checked. */
async function writeChecked(staging: Staging, { path, bytes, check }: MoldFile): Promise<ManifestFile> {
  await staging.write(path, bytes);
  const written = await staging.read(path);
  const fault = check(written);
  if (fault) throw new Error(`${basename(path)} did not pass its check: ${fault}`);
  return { path, bytes: written.length, sha256: sha256(written) };
}

/** What prints, for a table. */
function printedRows({ molds }: Manifest): ExportResult["parts"] {
  return molds.flatMap(({ name: mold, parts }) =>
    parts.flatMap(({ name, role, size, filamentG, printHours, plate }) =>
      plate === null ? [] : [{ mold, name, role, size, filamentG, printHours, plate }],
    ),
  );
}
