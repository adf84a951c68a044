import { KitError } from "./error.ts";
import { checkKeys, checkNumber, show, type Site } from "./options.ts";

export interface PrinterOptions {
  /** Usable size x, y, z, mm. */
  bed?: readonly [number, number, number];
  /** mm. */
  nozzle?: number;
  /** mm; at most 0.8 of the nozzle. */
  layer?: number;
  /** mm; default 1.125 of the nozzle. */
  lineWidth?: number;
  /** g/cm³; default 1.24 (PLA). */
  filamentDensity?: number;
  /** mm³/s; default the bead's section at 40 mm/s. */
  flow?: number;
  /**
   * How far a printed face stands proud of where it was drawn, mm, 0…0.5: pegs come out 2 × `spread`
   * wider than drawn, holes as much narrower. What is to fit is drawn that much looser, so that its
   * clearance is there after printing. Default 0. Measure a printed hole: half of what it lacks.
   */
  spread?: number;
}

export interface PrinterSpec {
  /** False for the fallback that nobody named. */
  named: boolean;
  name: string | null;
  bed: readonly [number, number, number];
  nozzle: number;
  layer: number;
  lineWidth: number;
  filamentDensity: number;
  flow: number;
  /** How far a printed face stands proud of where it was drawn, mm. */
  spread: number;
}

/** PLA, 1.22–1.26 g/cm³ (memory). */
const PLA = 1.24;
/** An unhurried head speed, mm/s (practice). */
const HEAD_SPEED = 40;

/** Section of one printed line, mm²: a rectangle with half-round sides (derived). */
export function beadSection(lineWidth: number, layer: number): number {
  return (lineWidth - layer) * layer + Math.PI * (layer / 2) ** 2;
}

/** Distance between neighbouring lines, mm, so that beads fill their gaps (derived). */
export function lineSpacing(lineWidth: number, layer: number): number {
  return lineWidth - layer * (1 - Math.PI / 4);
}

/** Thickness of a wall of `lines` lines, mm (derived). */
export function wallOfLines(lines: number, printer: { lineWidth: number; layer: number }): number {
  return printer.lineWidth + (lines - 1) * lineSpacing(printer.lineWidth, printer.layer);
}

/**
 * Gap to draw between two printed faces, mm, so that `clearance` is left between them: each stands
 * `spread` proud of where it was drawn (derived).
 */
export function drawnGap(clearance: number, printer: { spread: number }): number {
  return clearance + 2 * printer.spread;
}

/** The least number of lines that gives at least `wall` mm. */
export function linesForWall(wall: number, printer: { lineWidth: number; layer: number }): number {
  const spacing = lineSpacing(printer.lineWidth, printer.layer);
  return Math.max(1, Math.ceil((wall - printer.lineWidth) / spacing - 1e-9) + 1);
}

function complete(
  given: Required<Pick<PrinterOptions, "bed" | "nozzle" | "layer">> & PrinterOptions,
  named: boolean,
  name: string | null = null,
) {
  const lineWidth = given.lineWidth ?? Math.round(given.nozzle * 112.5 + 1e-6) / 100;
  return Object.freeze({
    named,
    name,
    bed: given.bed,
    nozzle: given.nozzle,
    layer: given.layer,
    lineWidth,
    filamentDensity: given.filamentDensity ?? PLA,
    flow: given.flow ?? beadSection(lineWidth, given.layer) * HEAD_SPEED,
    spread: given.spread ?? 0,
  }) satisfies PrinterSpec;
}

const FALLBACK = { bed: [220, 220, 250], nozzle: 0.6, layer: 0.3 } as const;

/** The printer of somebody who named none. */
export const DEFAULT_PRINTER: PrinterSpec = complete(FALLBACK, false);

/** The printer that a workshop keeps under a name. */
export function printerOf(
  site: Site,
  key: string,
  name: string,
  printers: ReadonlyMap<string, PrinterSpec>,
): PrinterSpec {
  const found = printers.get(name);
  if (found) return found;
  const known = [...printers.keys()].map((one) => `“${one}”`).join(", ");
  const path = [...(site.path ?? []), key];
  const allowed = known
    ? `a printer of slabwright.json (${known}) or { bed, nozzle, layer }`
    : "{ bed, nozzle, layer }, since no slabwright.json beside or above this design names a printer";
  throw new KitError(
    "kit-wrong-type",
    { call: site.name, key: path.join("."), allowed, value: show(name) },
    { call: site.call, argument: site.argument, path },
  );
}

const KEYS = ["bed", "nozzle", "layer", "lineWidth", "filamentDensity", "flow", "spread"] as const;

/** A printer written out; the site's path leads to it. */
export function checkPrinter(inner: Site, value: unknown, name: string | null): PrinterSpec {
  const given = checkKeys(inner, value, KEYS);
  const bed = given.bed ?? FALLBACK.bed;
  if (!Array.isArray(bed) || bed.length !== 3) {
    throw new KitError(
      "kit-wrong-type",
      {
        call: inner.name,
        key: [...(inner.path ?? []), "bed"].join("."),
        allowed: "[x, y, z] in mm",
        value: show(bed),
      },
      { call: inner.call, argument: inner.argument, path: [...(inner.path ?? []), "bed"] },
    );
  }
  const [x, y, z] = bed.map((side: unknown) =>
    checkNumber(inner, "bed", side, { min: 50, max: 2000, unit: "mm" }),
  );
  const nozzle = checkNumber(inner, "nozzle", given.nozzle ?? FALLBACK.nozzle, {
    min: 0.1,
    max: 3,
    unit: "mm",
  });
  const layerAsked = given.layer ?? Math.round(nozzle * 50) / 100;
  const layer = checkNumber(inner, "layer", layerAsked, { min: 0.04, max: 0.8 * nozzle, unit: "mm" });
  const optional = (key: "lineWidth" | "filamentDensity" | "flow" | "spread", min: number, max: number) =>
    given[key] === undefined ? undefined : checkNumber(inner, key, given[key], { min, max });
  return complete(
    {
      bed: Object.freeze([x, y, z] as const),
      nozzle,
      layer,
      lineWidth: optional("lineWidth", Math.max(layer, 0.6 * nozzle), 2 * nozzle),
      filamentDensity: optional("filamentDensity", 0.5, 10),
      flow: optional("flow", 0.2, 200),
      spread: optional("spread", 0, 0.5),
    },
    true,
    name,
  );
}
