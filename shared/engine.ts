import type { LocatedFinding, Problem } from "./finding.ts";
import type { CallId, Place } from "./place.ts";

/** What the host (command line or editor) asks of the engine process. */
export type EngineRequest =
  | {
      type: "build";
      id: number;
      entry: string;
      /** The folder that imports may not leave. */
      root: string;
      /** Unsaved text by absolute path; wins over the disk. */
      overlays: Record<string, string>;
      /** `param` values by name that win over the code. */
      overrides: Record<string, number>;
      quality: Quality;
      /** Digests of surfaces that the asker already holds; they come back without geometry. */
      have: string[];
      /** Try the fixes of each finding and return their edits. */
      fixes: boolean;
      /** Where there are fixes to try, say first what was found without them. */
      early?: boolean;
    }
  | {
      type: "export";
      id: number;
      entry: string;
      root: string;
      /** Folder that receives `<design>/`. */
      out: string;
      formats: ExportFormat[];
      allowErrors: boolean;
    }
  /** Make one fix after another until none is left. */
  | {
      type: "cure";
      id: number;
      entry: string;
      root: string;
      overlays: Record<string, string>;
    }
  /** Read test bars of a clay. Nothing of a design is run. */
  | {
      type: "measure";
      id: number;
      /** The clay's. */
      name: string;
      /** As `slabwright clay` reads it: wet, dry, fired in columns. */
      table: string;
      /** Text of a design to write the clay into. */
      design?: string;
    }
  /** The build of that id is no longer wanted; it ends with `cancelled` at its next pause, or as before. */
  | { type: "cancel"; id: number };

export type BuildRequest = Extract<EngineRequest, { type: "build" }>;
export type ExportRequest = Extract<EngineRequest, { type: "export" }>;
export type CureRequest = Extract<EngineRequest, { type: "cure" }>;
export type MeasureRequest = Extract<EngineRequest, { type: "measure" }>;

/** typing: 0.2 mm; idle: 0.05 mm; export: 0.02 mm. */
export type Quality = "typing" | "idle" | "export";

export const exportFormats = ["stl", "3mf", "svg", "dxf", "pdf", "sheet"] as const;
export type ExportFormat = (typeof exportFormats)[number];

export type EngineReply =
  | { type: "ready" }
  /** The maker's code begins, and with it its time. `files` are those that take part. */
  | { type: "evaluating"; id: number; files: string[] }
  /** Lines that the design wrote with `console`. */
  | { type: "log"; id: number; lines: string[] }
  /** The maker's code has ended; what follows is our own work and no longer under the time limit. */
  | { type: "evaluated"; id: number }
  | { type: "progress"; id: number; done: number; total: number; what: string }
  /** What a build has found before its fixes are tried; the molds of `built` are then these, and not sent again. */
  | { type: "found"; id: number; result: BuildResult }
  | { type: "built"; id: number; result: BuildResult; rssMB: number }
  | { type: "exported"; id: number; result: ExportResult; rssMB: number }
  | { type: "cured"; id: number; result: CureResult; rssMB: number }
  | { type: "measured"; id: number; result: MeasureResult; rssMB: number }
  | { type: "cancelled"; id: number }
  /** Our own fault: to be logged and told once. */
  | { type: "failed"; id: number; message: string; stack: string };

export interface BuildResult {
  design: string;
  /** Files that took part, absolute; a change in any of them asks for a new build. */
  files: string[];
  problem?: Problem;
  molds: MoldView[];
  findings: LocatedFinding[];
  params: ParamView[];
  /** The calls that made what is to be seen, by rising id. */
  calls: CallView[];
  /** Milliseconds by stage. */
  timings: Record<string, number>;
}

export interface ParamView {
  name: string;
  value: number;
  min: number;
  max: number;
  step: number;
  /** The value in the code. */
  place: Place;
  /** A number, or minus one, stands there: a slider can write it. */
  writable: boolean;
}

/** A kit call of the design, for the way between picture and code. */
export interface CallView {
  call: CallId;
  /** As the kit names it, such as `profile.polygon`. */
  name: string;
  /** The whole call, from its name to its closing bracket; then, outwards, the calls of helpers that led to it. */
  chain: Place[];
  /** Calls whose faces show what this one made: itself, or those that its value went into. */
  lights: CallId[];
}

export interface MoldView {
  name: string;
  /** One sentence for screen readers and the status item. */
  summary: string;
  /** Fired and wet outside size, mm. */
  fired: [number, number, number];
  wet: [number, number, number];
  surfaces: SurfaceView[];
  /** In opening order. */
  moves: { part: string; direction: [number, number, number]; mm: number }[];
  dimensions: DimensionView[];
  /** The calls that made the mold and its body: `mold` first, then the shape, then each `shrink`. */
  calls: CallId[];
  /** Null for a body without a mold. */
  numbers: MoldNumbers | null;
}

/** What is known of a mold in numbers, for text. Lengths mm, mold frame; masses g. */
export interface MoldNumbers {
  /** Shrinkages are fractions of the wet length. */
  clay: { name: string | null; total: number; used: number };
  slab: number | "solid";
  wall: number;
  press: "closed" | "parts";
  base: string;
  side: "outside" | "inside";
  stand: "foot" | "rim";
  open: "top" | "bottom" | "both";
  /** Null where the shrinkage is left to the printer. */
  fired: { capacityMl: number | null; massG: number } | null;
  wet: { massG: number; slabAreaMm2: number };
  /** Over all parts that leave clay; null where none does. */
  leastDraftDeg: number | null;
  parts: {
    name: string;
    role: string;
    size: [number, number, number];
    draftDeg: number | null;
    undercutMm2: number;
    undercutMm: number;
    /** Printed solid. */
    filamentG: number;
    printHours: number;
  }[];
  seams: { name: string; parts: [string, string]; follow: string; atDeg: number; keys: number }[];
  /** In opening order. `against`: parts still in place that it slides along. */
  moves: { part: string; direction: [number, number, number]; mm: number; against: string[] }[];
}

/** A length of the clay between two of its points, mold frame. */
export interface DimensionView {
  what: "height" | "foot" | "rim" | "widest" | "narrowest";
  from: [number, number, number];
  to: [number, number, number];
  /** mm, before drying. */
  wet: number;
  /** mm, from the kiln. */
  fired: number;
}

/** A drawable surface in the mold frame. */
export interface SurfaceView {
  name: string;
  role: "wall" | "floor" | "cutter" | "rail" | "peg" | "vessel";
  /** Hash of the geometry; equal digests are equal surfaces. */
  digest: string;
  /** Absent when the asker said that it holds this digest. */
  geometry?: SurfaceGeometry;
  /** Unit direction for the parts-apart slider, or null when the surface stays. */
  apart: [number, number, number] | null;
}

export interface SurfaceGeometry {
  /** Quantized positions, xyz: value / 65535 × (max − min) + min. */
  positions: Uint16Array;
  min: [number, number, number];
  max: [number, number, number];
  /** 16 bits where that many vertices fit. */
  triangles: Uint16Array | Uint32Array;
  /** Vertex pairs of crisp edges. */
  edges: Uint16Array | Uint32Array;
  /** Runs of triangles that one call made. `call` indexes `places` of nothing when -1. */
  groups: { start: number; count: number; call: number; label: string }[];
}

export interface ExportResult {
  problem?: Problem;
  findings: LocatedFinding[];
  /** Absolute folder that was written, absent when nothing was. */
  folder?: string;
  files: { path: string; bytes: number; sha256: string }[];
  /** For the table on the terminal. */
  parts: {
    mold: string;
    name: string;
    role: string;
    size: [number, number, number];
    filamentG: number;
    printHours: number;
    plate: number;
  }[];
}

export interface CureResult {
  /** New text of each file that a fix has changed, by absolute path. */
  texts: Record<string, string>;
  /** Titles of the fixes in the order in which they were made, in English. */
  made: string[];
}

export type MeasureResult =
  /** The table cannot be read; lines count from 1. */
  | { fault: { line: number; reason: string } }
  | {
      /** Bars measured. */
      n: number;
      /** Mean shrinkage from wet to fired, fraction of the wet length. */
      total: number;
      /** ± of the mean at 95 %; null for a single bar. */
      bandOfMean: number | null;
      /** Standard uncertainty of one bar that comes from reading a 0.5 mm rule alone. */
      reading: number;
      /** Wet size / fired size. */
      scale: number;
      /** ± mm at 95 % on a fired size of 100 mm: a batch, and one pot. */
      batchPer100: number | null;
      piecePer100: number | null;
      /** The clay as an expression of a design. */
      code: string;
      /** The design with the clay in it; null where it cannot be written there. `used`: its `shrink` takes it. */
      design?: { text: string; constant: string; used: boolean } | null;
    };
