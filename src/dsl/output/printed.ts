import type { ExportFormat } from "../../../shared/engine.ts";
import type { ManifestPart } from "../../../shared/manifest.ts";
import type { MoldModel, MoldPart } from "../mold/model.ts";
import { areaOf, volumeOf } from "../solid/measure.ts";
import { triangleCount, type Mesh } from "../solid/mesh.ts";
import { layOnBed } from "./bed.ts";
import { steady } from "./manifest.ts";
import { fileNames } from "./names.ts";
import { fitsBed, packPlates, type Placement } from "./plates.ts";
import { estimatePrint } from "./printing.ts";
import { faultOfSolid } from "./verify.ts";

/** A part as it prints: bed frame, with its place on a plate and its entry for the manifest. */
export interface PrintedPart {
  mesh: Mesh;
  /** File name without folder and ending. */
  fileName: string;
  /** Null for the vessel, which is not printed. */
  placement: Placement | null;
  entry: ManifestPart;
}

/**
 * All parts of a mold, and the vessel after them, in bed position and laid out on plates. A part
 * that is not a sound solid throws. `folder` is the mold's folder inside the design's.
 */
export function printMold(model: MoldModel, folder: string, formats: readonly ExportFormat[]): PrintedPart[] {
  const { bed } = model.printer;
  const sources = [...model.parts, model.vessel];
  const laid = sources.map((part) => layOnBed(part));
  const placements = packPlates(
    laid.slice(0, -1).map(({ size }) => size),
    bed,
  );
  const names = fileNames(
    sources.map(({ name }) => name),
    "part",
  );
  return sources.map((part, index) => {
    const { mesh, size, toMold } = laid[index];
    const fault = faultOfSolid(mesh);
    if (fault) throw new Error(`${model.name}, ${part.name} is not a sound solid: ${fault}`);
    const placement = placements[index] ?? null;
    const volume = volumeOf(mesh);
    return {
      mesh,
      fileName: names[index],
      placement,
      entry: {
        name: part.name,
        file: formats.includes("stl") ? `${folder}/parts/${names[index]}.stl` : null,
        role: part.role,
        plate: placement?.plate ?? null,
        triangles: triangleCount(mesh),
        volumeMm3: steady(volume),
        areaMm2: steady(areaOf(mesh)),
        size,
        ...leaving(part),
        fitsBed: fitsBed(size, bed),
        ...printing(volume, placement, model),
        toMold,
      },
    };
  });
}

function leaving(part: MoldPart) {
  return {
    pull: part.pull && steady(part.pull),
    draftDeg: part.draftDeg === null ? null : steady(part.draftDeg),
    undercutMm2: steady(part.undercutMm2),
    undercutMm: steady(part.undercutMm),
    witnesses: part.witnesses.map(({ at, normal, weight }) => ({
      at: steady(at),
      normal: steady(normal),
      weight: steady(weight),
    })),
  };
}

function printing(volume: number, placement: Placement | null, { printer }: MoldModel) {
  if (!placement) return { filamentG: 0, printHours: 0 };
  const { filamentG, printHours } = estimatePrint(volume, printer);
  return { filamentG: steady(filamentG), printHours: steady(printHours) };
}
