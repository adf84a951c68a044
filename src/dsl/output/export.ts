import { basename, join, resolve } from "node:path";
import type { ExportFormat, ExportResult } from "../../../shared/engine.ts";
import type { LocatedFinding, Problem } from "../../../shared/finding.ts";
import type { ManifestFile } from "../../../shared/manifest.ts";
import type { MoldModel } from "../mold/model.ts";
import { fileName, fileNames } from "./names.ts";
import { MANIFEST, occupantOf, sha256, type Occupant } from "./folder.ts";
import { buildManifest, manifestJson } from "./manifest.ts";
import { printMold, type PrintedPart } from "./printed.ts";
import { stage } from "./swap.ts";
import { writers, writableFormats, type MoldFile } from "./writers.ts";

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
 * them throws and leaves the previous export as it was. A format that is not there yet, or a
 * folder that holds work of the maker's own, comes back as a problem and nothing is written.
 */
export async function exportMolds(input: ExportInput): Promise<ExportResult> {
  const { design, source, molds, findings, onProgress } = input;
  const refuse = (problem: Pick<Problem, "code" | "message">): ExportResult => ({
    problem: { ...problem, place: { file: source, line: 1, column: 1, endLine: 1, endColumn: 1 } },
    findings: [...findings],
    files: [],
    parts: [],
  });

  const missing = input.formats.filter((format) => !writableFormats.includes(format));
  if (missing.length > 0) return refuse(formatProblem(missing));
  const formats = input.formats.length > 0 ? [...new Set(input.formats)] : writableFormats;

  const target = join(resolve(input.out), fileName(design, "design"));
  const before = await occupantOf(target);
  if (before.kind === "maker") return refuse(occupiedProblem(target, before));

  const folders = fileNames(
    molds.map((mold) => mold.name),
    "mold",
  );
  const total = molds.length * (1 + formats.length) + 1;
  let done = 0;
  const step = (what: string) => onProgress?.(done++, total, what);

  const staging = await stage(target);
  try {
    const files: ManifestFile[] = [];
    const printedMolds: { model: MoldModel; parts: PrintedPart[] }[] = [];
    for (const [index, model] of molds.entries()) {
      step(`${model.name}: laying the parts on the bed`);
      const parts = printMold(model, folders[index], formats);
      printedMolds.push({ model, parts });
      for (const format of formats) {
        step(`${model.name}: ${format}`);
        for (const file of writers[format]?.(model, folders[index], parts) ?? []) {
          await writeChecked(staging, file, files);
        }
      }
    }
    step("manifest");
    const manifest = buildManifest({
      design,
      source,
      files,
      molds: printedMolds.map(({ model, parts }) => ({ model, parts: parts.map(({ entry }) => entry) })),
      findings,
    });
    await staging.write(MANIFEST, manifestJson(manifest));
    // Exporting takes a while: the maker may have put something there since.
    const now = await occupantOf(target);
    if (now.kind === "maker") {
      await staging.discard();
      return refuse(occupiedProblem(target, now));
    }
    await staging.commit();
    onProgress?.(total, total, "done");
    return {
      findings: [...findings],
      folder: target,
      files: manifest.files,
      parts: printedMolds.flatMap(({ model, parts }) =>
        parts.flatMap(({ entry }) =>
          entry.plate === null
            ? []
            : [
                {
                  mold: model.name,
                  name: entry.name,
                  role: entry.role,
                  size: entry.size,
                  filamentG: entry.filamentG,
                  printHours: entry.printHours,
                  plate: entry.plate,
                },
              ],
        ),
      ),
    };
  } catch (error) {
    await staging.discard();
    throw error;
  }
}

/** Writes a file, reads it back from the disk and has it checked. */
async function writeChecked(
  staging: Awaited<ReturnType<typeof stage>>,
  { path, bytes, check }: MoldFile,
  files: ManifestFile[],
): Promise<void> {
  await staging.write(path, bytes);
  const written = await staging.read(path);
  const fault = check(written);
  if (fault) throw new Error(`${basename(path)} did not pass its check: ${fault}`);
  files.push({ path, bytes: written.length, sha256: sha256(written) });
}

function formatProblem(missing: readonly ExportFormat[]): Pick<Problem, "code" | "message"> {
  return {
    code: "format-not-yet",
    message: `This version of Slabwright does not write ${missing.join(", ")} yet. It writes ${writableFormats.join(" and ")}.`,
  };
}

function occupiedProblem(
  target: string,
  { reason, files }: Extract<Occupant, { kind: "maker" }>,
): Pick<Problem, "code" | "message"> {
  const some = files.slice(0, 3).join(", ") + (files.length > 3 ? ` and ${files.length - 3} more` : "");
  const what = {
    "not-folder": `There is already something at ${target} that is not a folder.`,
    "no-manifest": `${target} holds files that no export of Slabwright wrote: ${some}.`,
    added: `${target} holds files of your own: ${some}.`,
    changed: `Files in ${target} have been changed since they were exported: ${some}.`,
  }[reason];
  return {
    code: "folder-not-ours",
    message: `${what} Nothing was written: move them, or export into another folder.`,
  };
}
