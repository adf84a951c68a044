import type { CallId } from "../../../shared/place.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { FaceRun } from "../solid/tagged.ts";

export type Vec3 = [number, number, number];

export interface Printer {
  name: string | null;
  /** mm. */
  bed: Vec3;
  nozzle: number;
  layer: number;
  lineWidth: number;
  /** g/cm³. */
  filamentDensity: number;
  /** mm³/s. */
  flow: number;
  /** How far a printed face stands proud of where it was drawn, mm. */
  spread: number;
}

/** One printed thing, in the mold frame. */
export interface MoldPart {
  /** Unique in its mold, safe as a file name: `wall-a`, `floor`, `cutter-base`. */
  name: string;
  role: "wall" | "floor" | "cutter" | "rail" | "peg" | "vessel";
  mesh: Mesh;
  runs: FaceRun[];
  /** Direction in which it leaves the clay, unit; null for what does not touch clay. */
  pull: Vec3 | null;
  /** Least draft, degrees; null where there is no pull. */
  draftDeg: number | null;
  undercutMm2: number;
  undercutMm: number;
  /** Points on the clay whose normals hold the pull where it is. */
  witnesses: { at: Vec3; normal: Vec3; weight: number }[];
  /** Turns the part into its printing position, column-major, mold → bed before it is moved onto the bed. */
  bedTurn: number[];
}

export interface SeamModel {
  name: string;
  /** Names of the two parts that meet here: the one before and the one after, counter-clockwise. */
  parts: [string, string];
  follow: "form" | "flat";
  /** Polar angle at the lowest section about its centre. */
  atDeg: number;
  curve: Vec3[];
}

export interface KeyModel {
  seam: string;
  /** Part that carries the peg. */
  proud: string;
  /** Part that carries the socket. */
  hollow: string;
  shape: "dome" | "cone" | "ridge";
  at: Vec3;
  axis: Vec3;
  size: number;
  height: number;
  /** Between peg and socket once they are printed, and as they are drawn, mm. */
  clearance: number;
  gap: number;
  /** Set apart from its neighbours so that parts cannot be swapped. */
  outOfStep: boolean;
}

export interface Move {
  part: string;
  direction: Vec3;
  mm: number;
  /** Parts still in place that it slides against. */
  against: string[];
}

export interface UndercutPatch {
  part: string;
  areaMm2: number;
  depthMm: number;
  at: Vec3;
  /** Comes off, comes off while the clay is soft, or not at all. */
  verdict: "free" | "soft" | "locked";
}

/** A computed mold: wet size, mold frame. */
export interface MoldModel {
  name: string;
  /** The `mold(…)` call. */
  call: CallId;
  clay: { name: string | null; total: number; used: number; scale: number };
  press: "closed" | "parts";
  base: "open" | "floor" | "closed" | "none";
  side: "outside" | "inside";
  stand: "foot" | "rim";
  open: "top" | "bottom" | "both";
  printer: Printer;
  build: {
    slab: number | "solid";
    wall: number;
    flange: { width: number; thickness: number } | null;
    rim: { width: number } | null;
    bands: { count: number; width: number; depth: number } | null;
    limits: Record<string, number>;
    tolerance: number;
  };
  /** Fired frame; null where the shrinkage is left to the printer. */
  fired: { size: Vec3; capacityMl: number | null; massG: number } | null;
  wet: { size: Vec3; slabAreaMm2: number; massG: number };
  /** The cavity as one closed solid. */
  vessel: MoldPart;
  /** Walls, floor, cutters. */
  parts: MoldPart[];
  seams: SeamModel[];
  keys: KeyModel[];
  moves: Move[];
  undercuts: UndercutPatch[];
}
