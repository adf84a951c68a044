import * as z from "zod/mini";

const vec3 = z.tuple([z.number(), z.number(), z.number()]);
const positive = z.number().check(z.positive());
const notNegative = z.number().check(z.nonnegative());
const count = z.int().check(z.nonnegative());

/** Path inside the folder of the design, with `/`, and what the file holds. */
const file = z.strictObject({
  path: z.string(),
  bytes: count,
  sha256: z.string().check(z.regex(/^[0-9a-f]{64}$/)),
});

const seam = z.strictObject({
  name: z.string(),
  parts: z.tuple([z.string(), z.string()]),
  follow: z.enum(["form", "flat"]),
  atDeg: z.number(),
  curve: z.array(vec3),
});

const key = z.strictObject({
  seam: z.string(),
  proud: z.string(),
  hollow: z.string(),
  shape: z.enum(["dome", "cone", "ridge"]),
  at: vec3,
  axis: vec3,
  size: positive,
  height: positive,
  /** Between peg and socket once they are printed, square to the flank. */
  clearance: notNegative,
  /** Between them as they are drawn: the clearance and what both faces of this printer stand proud. */
  gap: notNegative,
  outOfStep: z.boolean(),
});

const move = z.strictObject({
  part: z.string(),
  direction: vec3,
  mm: notNegative,
  against: z.array(z.string()),
});

const undercut = z.strictObject({
  part: z.string(),
  areaMm2: notNegative,
  depthMm: notNegative,
  at: vec3,
  /** Comes off, comes off while the clay is soft, or not at all. */
  verdict: z.enum(["free", "soft", "locked"]),
});

const part = z.strictObject({
  name: z.string(),
  /** Path inside the folder of the design; null when its format was not asked for. */
  file: z.nullable(z.string()),
  role: z.enum(["wall", "floor", "cutter", "rail", "peg", "vessel"]),
  /** From 0; null for the vessel, which is there to look at and is not printed. */
  plate: z.nullable(count),
  triangles: count,
  volumeMm3: positive,
  areaMm2: positive,
  /** In bed position. */
  size: vec3,
  pull: z.nullable(vec3),
  draftDeg: z.nullable(z.number()),
  undercutMm2: notNegative,
  undercutMm: notNegative,
  witnesses: z.array(z.strictObject({ at: vec3, normal: vec3, weight: z.number() })),
  fitsBed: z.boolean(),
  /** Printed solid; 0 for the vessel. */
  filamentG: notNegative,
  printHours: notNegative,
  /** Rigid, column-major, bed → mold frame. */
  toMold: z.array(z.number()).check(z.length(16)),
});

const template = z.strictObject({
  name: z.string(),
  files: z.array(z.string()),
  areaMm2: positive,
  width: positive,
  height: positive,
  stretchMax: z.number(),
  stretchMean: z.number(),
});

const mold = z.strictObject({
  name: z.string(),
  clay: z.strictObject({
    name: z.nullable(z.string()),
    total: notNegative,
    used: notNegative,
    scale: positive,
  }),
  press: z.enum(["closed", "parts"]),
  base: z.enum(["open", "floor", "closed", "none"]),
  side: z.enum(["outside", "inside"]),
  stand: z.enum(["foot", "rim"]),
  open: z.enum(["top", "bottom", "both"]),
  build: z.strictObject({
    slab: z.union([positive, z.literal("solid")]),
    wall: positive,
    flange: z.nullable(z.strictObject({ width: notNegative, thickness: notNegative })),
    rim: z.nullable(z.strictObject({ width: notNegative })),
    bands: z.nullable(z.strictObject({ count: count, width: notNegative, depth: notNegative })),
    limits: z.record(z.string(), z.number()),
    tolerance: positive,
  }),
  printer: z.strictObject({
    name: z.nullable(z.string()),
    bed: vec3,
    nozzle: positive,
    layer: positive,
    lineWidth: positive,
    filamentDensity: positive,
    flow: positive,
    /** How far a printed face stands proud of where it was drawn. */
    spread: notNegative,
  }),
  /** Null where the shrinkage is left to the printer. */
  fired: z.nullable(z.strictObject({ size: vec3, capacityMl: z.nullable(notNegative), massG: notNegative })),
  wet: z.strictObject({ size: vec3, slabAreaMm2: notNegative, massG: notNegative }),
  seams: z.array(seam),
  keys: z.array(key),
  /** In opening order. */
  moves: z.array(move),
  undercuts: z.array(undercut),
  parts: z.array(part),
  templates: z.array(template),
});

const finding = z.strictObject({
  code: z.string(),
  severity: z.enum(["error", "warning", "info"]),
  message: z.string(),
  /** Seen from the folder of the design, with `/`. */
  file: z.string(),
  line: z.int().check(z.positive()),
  column: z.int().check(z.positive()),
  endLine: z.int().check(z.positive()),
  endColumn: z.int().check(z.positive()),
  mold: z.optional(z.string()),
  part: z.optional(z.string()),
  value: z.optional(z.number()),
  limit: z.optional(z.number()),
  unit: z.optional(z.string()),
  at: z.optional(vec3),
  fixes: z.optional(z.array(z.strictObject({ title: z.string() }))),
});

/**
 * What an export holds, for programs. Lengths mm, angles degrees; pull, at, moves and curves are
 * in the mold frame. `files` lists everything in the folder but the manifest itself, by path.
 */
export const manifestSchema = z.strictObject({
  /** Name and version of what wrote it. */
  kit: z.string(),
  /** Name and version of the solid kernel. */
  kernel: z.string(),
  design: z.string(),
  /** File name of the design. */
  source: z.string(),
  units: z.literal("mm"),
  files: z.array(file),
  molds: z.array(mold),
  findings: z.array(finding),
});

export type Manifest = z.infer<typeof manifestSchema>;
export type ManifestMold = Manifest["molds"][number];
export type ManifestPart = ManifestMold["parts"][number];
export type ManifestFinding = Manifest["findings"][number];
export type ManifestFile = Manifest["files"][number];
