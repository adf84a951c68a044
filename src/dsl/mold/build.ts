import type { Quality } from "../../../shared/engine.ts";
import type { Mold, MoldSpec } from "../kit/mold.ts";
import type { Tagged } from "../solid/tagged.ts";
import { buildFreeWhole } from "./build-free-whole.ts";
import { buildFree } from "./build-free.ts";
import { buildHalves } from "./build-halves.ts";
import { buildHump } from "./build-hump.ts";
import { buildSplit } from "./build-split.ts";
import { buildWhole } from "./build-whole.ts";
import type { Room } from "./free-room.ts";
import type { Grid } from "./grid.ts";
import type { SeamKeys } from "./keys.ts";
import type { Layout } from "./layout.ts";
import type { MoldModel } from "./model.ts";
import type { Opened, Opening } from "./opening.ts";
import type { ClayScale } from "./scale.ts";
import { isSeenWhole } from "./seen.ts";
import type { SeamFace } from "./seam-face.ts";
import type { SeamLine } from "./seams.ts";

/** A mold with everything that the checks, the proof and the files need to know about it. */
export interface BuiltMold {
  model: MoldModel;
  spec: MoldSpec;
  scale: ClayScale;
  layout: Layout;
  /** The level sections of the cavity; null for a solid that has none. */
  grid: Grid | null;
  /** Names of the walls ring by ring, from the foot up, where cross seams make several. */
  rings?: readonly (readonly string[])[];
  /** The room inside the slab of a body without such sections; null where there is none, or no slab. */
  room?: Room | null;
  /** Seam curves on the rows of the grid; none for a whole mold or a solid without a grid. */
  seams: SeamLine[];
  faces: SeamFace[];
  /** How it is meant to open, and what came of trying that on the finished parts. */
  opening: Opening;
  opened: Opened;
  /** By seam. */
  keys: SeamKeys[];
  /** Walls, then the floor, as they were before `changes`: what the contact proof is about. */
  bare: (Tagged & { name: string })[];
  /** What was put on each part and taken from it: pegs and sockets, vents, marks. */
  changes: PartChange[];
  /** Neighbours share their triangles, so that contact can be proved without a boolean. */
  meshed: boolean;
  /** Volume of the closed mold with the clay in it, mm³, where `meshed` does not tell it. */
  whole: number | null;
  clay: Tagged;
  /** How long each stage took, ms. */
  times: { shape: number; opening: number; keys: number };
}

/** Solids put on a part and taken from it, no two of a kind touching. */
export interface PartChange {
  part: string;
  adds: Tagged[];
  cuts: Tagged[];
}

/** Computes the whole mold, wet size, mold frame. The kernel must be loaded. */
export function buildMold(mold: Mold, name: string, quality: Quality): BuiltMold {
  const { spec } = mold;
  if (spec.side === "inside") return buildHump(spec, name, quality);
  if (spec.seams.kind === "halves") return buildHalves(spec, name, quality);
  const isSeen = isSeenWhole(spec.body);
  if (spec.seams.kind === "whole") return (isSeen ? buildWhole : buildFreeWhole)(spec, name, quality);
  return (isSeen ? buildSplit : buildFree)(spec, name, quality);
}
