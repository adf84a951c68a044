import { exportFormats, type ExportFormat } from "../../../shared/engine.ts";
import type { MoldModel } from "../mold/model.ts";
import type { PrintedPart } from "./printed.ts";
import { stlFiles } from "./stl-files.ts";
import { threeMfFiles } from "./threemf-files.ts";

/** A file of an export before it is written. */
export interface MoldFile {
  /** Inside the folder of the design, with `/`. */
  path: string;
  bytes: Uint8Array;
  /** Reads what came back from the disk, and says what is wrong with it, or null. */
  check: (written: Uint8Array) => string | null;
}

/** All files of one format for one mold. `folder` is the mold's folder inside the design's. */
export type Writer = (model: MoldModel, folder: string, parts: readonly PrintedPart[]) => MoldFile[];

/** The formats that can be written. */
export const writers: Partial<Record<ExportFormat, Writer>> = {
  stl: stlFiles,
  "3mf": threeMfFiles,
};

export const writableFormats: readonly ExportFormat[] = exportFormats.filter((format) => writers[format]);
