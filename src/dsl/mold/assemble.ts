import { firedMassFraction, plasticDensity } from "../clay/density.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { boundsOf, volumeOf } from "../solid/measure.ts";
import type { Tagged } from "../solid/tagged.ts";
import { pegTurn } from "./key-solids.ts";
import type { SeamKeys } from "./keys.ts";
import type { MoldModel, MoldPart, Vec3 } from "./model.ts";
import type { Leaving } from "./opening.ts";
import type { ClayScale } from "./scale.ts";

export const IDENTITY = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];

/** Turned over about x: it prints standing on its rim. */
export const ON_RIM = [1, 0, 0, 0, 0, -1, 0, 0, 0, 0, -1, 0, 0, 0, 0, 1];

export const letter = (i: number) => String.fromCharCode(97 + i);
export const seamName = (i: number) => `seam-${i + 1}`;

/** Degrees in [0, 360), without the tail of digits that radians leave. */
export function degrees(radians: number): number {
  const turned = ((radians * 180) / Math.PI) % 360;
  return Math.round((turned < 0 ? turned + 360 : turned) * 1e6) / 1e6;
}

/** A part that touches clay, as it leaves. */
export function leavingPart(
  name: string,
  role: "wall" | "floor",
  solid: Tagged,
  leaving: Leaving,
  bedTurn = IDENTITY,
): MoldPart {
  return {
    name,
    role,
    ...solid,
    pull: leaving.pull,
    draftDeg: leaving.draftDeg,
    undercutMm2: leaving.undercutMm2,
    undercutMm: leaving.undercutMm,
    witnesses: leaving.witnesses,
    bedTurn,
  };
}

/** A part that touches no clay in the mold, or the clay itself. */
export function loosePart(
  name: string,
  role: "cutter" | "rail" | "peg" | "vessel",
  solid: Tagged,
  bedTurn = IDENTITY,
): MoldPart {
  return {
    name,
    role,
    ...solid,
    pull: null,
    draftDeg: null,
    undercutMm2: 0,
    undercutMm: 0,
    witnesses: [],
    bedTurn,
  };
}

/** What a model says of its mold besides its parts and how they leave. */
export function modelFrame(name: string, spec: MoldSpec, scale: ClayScale, wall: number, tolerance: number) {
  const bare = spec.seams.kind === "whole" || spec.side === "inside";
  return {
    name,
    call: spec.call,
    clay: { name: scale.name, total: scale.total, used: scale.used, scale: scale.cavity },
    base: spec.base.kind,
    side: spec.side,
    stand: spec.stand,
    open: spec.body.open,
    printer: { ...spec.printer, bed: [...spec.printer.bed] },
    build: {
      slab: spec.slab,
      wall,
      flange: bare ? null : spec.flange,
      rim: spec.rim,
      bands: bare ? null : spec.bands,
      limits: spec.limits,
      tolerance,
    },
  } satisfies Partial<MoldModel>;
}

/**
 * Sizes fired and wet.
 *
 * @param clay the cavity, or the clay itself where it is `draped` over a hump
 * @param inside the room that the slab leaves, wet, mm³; null for solid clay, which holds nothing and
 *   takes no slab
 */
export function sizes(
  clay: Tagged,
  inside: number | null,
  spec: MoldSpec,
  scale: ClayScale,
  draped = false,
): Pick<MoldModel, "fired" | "wet"> {
  const { min, max } = boundsOf(clay.mesh);
  const size: Vec3 = [max[0] - min[0], max[1] - min[1], max[2] - min[2]];
  const clayVolume = volumeOf(clay.mesh) - (draped ? 0 : (inside ?? 0));
  const massG = (clayVolume / 1000) * plasticDensity(scale.water);
  const shrunk = 1 / scale.cavity;
  const later = spec.body.shrinkings.length > 0 && scale.total === 0;
  return {
    wet: { size, slabAreaMm2: spec.slab === "solid" ? 0 : clayVolume / spec.slab, massG },
    fired: later
      ? null
      : {
          size: [size[0] * shrunk, size[1] * shrunk, size[2] * shrunk],
          capacityMl: inside === null ? null : (inside * shrunk * shrunk * shrunk) / 1000,
          massG: massG * firedMassFraction(scale.water, scale.loi),
        },
  };
}

/** Loose pegs as parts, each in its place; they print upright. */
export function loosePegs(seams: readonly SeamKeys[]): MoldPart[] {
  return seams.flatMap((seam) =>
    seam.keys.flatMap(({ loose, model }, i) =>
      loose
        ? [loosePart(`peg-${seam.name.replace("seam-", "")}-${i + 1}`, "peg", loose, pegTurn(model.axis))]
        : [],
    ),
  );
}
