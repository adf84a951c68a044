import { basename, dirname, relative, sep } from "node:path";
import type { LocatedFinding } from "../../../shared/finding.ts";
import {
  manifestSchema,
  type Manifest,
  type ManifestFile,
  type ManifestFinding,
  type ManifestMold,
  type ManifestPart,
} from "../../../shared/manifest.ts";
import type { MoldModel } from "../mold/model.ts";
import { KERNEL, KIT } from "./version.ts";

/** A mold with everything that only its printed parts know. */
export interface PrintedMold {
  model: MoldModel;
  parts: ManifestPart[];
}

export interface ManifestInput {
  design: string;
  /** Absolute path of the design's file; places in the manifest are seen from its folder. */
  source: string;
  files: ManifestFile[];
  molds: readonly PrintedMold[];
  findings: readonly LocatedFinding[];
}

/**
 * The manifest of an export, checked against its schema: something that does not belong in it
 * throws. It holds no absolute path and no time, so that the same design gives the same bytes
 * wherever it lies.
 */
export function buildManifest(input: ManifestInput): Manifest {
  return manifestSchema.parse({
    kit: KIT,
    kernel: KERNEL,
    design: input.design,
    source: basename(input.source),
    units: "mm",
    files: input.files.toSorted((a, b) => (a.path < b.path ? -1 : 1)),
    molds: input.molds.map(moldEntry),
    findings: input.findings.map((finding) => findingEntry(finding, dirname(input.source))),
  } satisfies Manifest);
}

/** The bytes of `manifest.json`: one line for each value, a point or a list of numbers on a line of its own. */
export function manifestJson(manifest: Manifest): Uint8Array {
  // A line break never stands inside a JSON string, so only lists of numbers match.
  const text = JSON.stringify(manifest, null, 2).replace(
    /\[\n\s+(-?\d[^\s,\]]*(?:,\n\s+-?\d[^\s,\]]*)*)\n\s+\]/g,
    (_, list: string) => `[${list.replace(/\n\s+/g, " ")}]`,
  );
  return new TextEncoder().encode(text + "\n");
}

/** Field by field: what a model holds for our own use stays out of the manifest. */
function moldEntry({ model, parts }: PrintedMold): ManifestMold {
  const { name, clay, press, base, side, stand, open, build, printer, fired, wet } = model;
  return {
    name,
    clay: { name: clay.name, total: clay.total, used: clay.used, scale: clay.scale },
    press,
    base,
    side,
    stand,
    open,
    build: {
      slab: build.slab,
      wall: build.wall,
      flange: build.flange && { width: build.flange.width, thickness: build.flange.thickness },
      rim: build.rim && { width: build.rim.width },
      bands: build.bands && { count: build.bands.count, width: build.bands.width, depth: build.bands.depth },
      limits: { ...build.limits },
      tolerance: build.tolerance,
    },
    printer: {
      name: printer.name,
      bed: printer.bed,
      nozzle: printer.nozzle,
      layer: printer.layer,
      lineWidth: printer.lineWidth,
      filamentDensity: printer.filamentDensity,
      flow: printer.flow,
      spread: printer.spread,
    },
    fired: fired && {
      size: steady(fired.size),
      capacityMl: fired.capacityMl === null ? null : steady(fired.capacityMl),
      massG: steady(fired.massG),
    },
    wet: { size: steady(wet.size), slabAreaMm2: steady(wet.slabAreaMm2), massG: steady(wet.massG) },
    seams: model.seams.map(({ name, parts, follow, atDeg, curve }) => ({
      name,
      parts,
      follow,
      atDeg: steady(atDeg),
      curve: curve.map((point) => steady(point)),
    })),
    keys: model.keys.map((key) => ({
      seam: key.seam,
      proud: key.proud,
      hollow: key.hollow,
      shape: key.shape,
      at: steady(key.at),
      axis: steady(key.axis),
      size: key.size,
      height: steady(key.height),
      clearance: key.clearance,
      gap: steady(key.gap),
      outOfStep: key.outOfStep,
    })),
    moves: model.moves.map(({ part, direction, mm, against }) => ({
      part,
      direction: steady(direction),
      mm: steady(mm),
      against,
    })),
    undercuts: model.undercuts.map(({ part, areaMm2, depthMm, at, verdict }) => ({
      part,
      areaMm2: steady(areaMm2),
      depthMm: steady(depthMm),
      at: steady(at),
      verdict,
    })),
    parts,
    templates: [],
  };
}

function findingEntry(finding: LocatedFinding, folder: string): ManifestFinding {
  const { code, severity, message, place, mold, part, value, limit, unit, at, fixes } = finding;
  return {
    code,
    severity,
    message,
    file: relative(folder, place.file).split(sep).join("/"),
    line: place.line,
    column: place.column,
    endLine: place.endLine,
    endColumn: place.endColumn,
    ...(mold !== undefined && { mold }),
    ...(part !== undefined && { part }),
    ...(value !== undefined && { value: steady(value) }),
    ...(limit !== undefined && { limit }),
    ...(unit !== undefined && { unit }),
    ...(at !== undefined && { at: steady(at) }),
    ...(fixes.length > 0 && { fixes: fixes.map(({ title }) => ({ title })) }),
  };
}

/**
 * Computed numbers to nine decimals: far below anything that prints, and no tail of digits that
 * differs between machines. A zero has no sign.
 */
export function steady(value: number): number;
export function steady(value: readonly [number, number, number]): [number, number, number];
export function steady(value: number | readonly [number, number, number]): number | [number, number, number] {
  const round = (x: number) => Math.round(x * 1e9) / 1e9 + 0;
  return typeof value === "number" ? round(value) : [round(value[0]), round(value[1]), round(value[2])];
}
