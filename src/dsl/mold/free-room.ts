import polylabel from "polylabel";
import type { Quality } from "../../../shared/engine.ts";
import type { Body } from "../kit/body.ts";
import type { MoldSpec } from "../kit/mold.ts";
import type { Facets } from "../leaving/facets.ts";
import type { Flat, Scope, Solid } from "../solid/kernel.ts";
import { offsetSurface, type OffsetDetail } from "../solid/offset-surface.ts";
import type { Tagged } from "../solid/tagged.ts";
import { tidy } from "../solid/tidy.ts";
import type { FreeShape } from "./free-shape.ts";
import type { Vec3 } from "./model.ts";
import { nearestOpposed } from "./opposed.ts";

/** The room inside the slab, wet, mold frame. */
export interface Room {
  /** It and what goes on through the mouth, to be taken out of the clay; null where the slab leaves nothing. */
  opening: Tagged | null;
  /** mm³, to the brim. */
  volume: number;
  /** Walls of the clay that look at each other and are nearest, mm; null where none do. */
  opposed: { distance: number; at: Vec3 } | null;
  /** Heights, rising, and how wide the room is there: the diameter of the largest circle in its level section, mm; 0 for none. */
  zs: number[];
  widths: number[];
}

/** Levels on which the width is measured. */
const LEVELS = 16;
/** Widths are right to this, mm. */
const WIDTH_ERROR = 0.2;
/** What is finer, mm, makes no way in wider or narrower. */
const FINE = 0.1;
const FAR = 4000;

/** How the room inside is looked for, and by how much it may be simplified, mm. */
export type RoomDetail = OffsetDetail & { chord: number };

export const ROOM: Record<Quality, RoomDetail> = {
  typing: { step: 3, sag: 0.5, chord: 0.3 },
  idle: { step: 2, sag: 0.05, chord: 0.02 },
  export: { step: 2, sag: 0.05, chord: 0.02 },
};

/** The room inside the clay of a mold; null for solid clay. */
export function roomOf(
  scope: Scope,
  shape: FreeShape,
  facets: Facets,
  spec: MoldSpec,
  quality: Quality,
): Room | null {
  const { slab, base, body, call } = spec;
  if (slab === "solid") return null;
  return freeRoom(scope, shape, facets, slab, baseIn(shape, body, base.slab), ROOM[quality], call);
}

/** The base slab of a pot and the height of the plane that it lies on, mm; null where the clay has its own underside. */
export type BaseSlab = { z: number; slab: number } | null;

export const baseIn = ({ foot }: FreeShape, { open }: Body, slab: number): BaseSlab =>
  foot !== null && open !== "bottom" ? { z: foot, slab } : null;

/**
 * What of the clay lies at least a slab from its side and from its base and is joined to the mouth.
 * The mouth's own plane takes no slab.
 *
 * @param facets the clay's side
 */
export function freeRoom(
  scope: Scope,
  shape: FreeShape,
  facets: Facets,
  slab: number,
  base: BaseSlab,
  detail: RoomDetail,
  call: number,
): Room {
  const opposed = nearestOpposed(facets);
  const room = roomWithin(scope, shape, slab, base, detail, call);
  if (!room) return { opening: null, volume: 0, opposed, zs: [], widths: [] };
  const { within, through } = room;
  const bounds = scope.bounds(within);
  const zs = levelsBetween(bounds.min[2], bounds.max[2]);
  return {
    opening: tidy(scope.mesh(through)),
    volume: within.volume,
    opposed,
    zs,
    widths: zs.map((z) => widthOf(scope, scope.plainer(scope.section(within, z), FINE))),
  };
}

const levelsBetween = (low: number, high: number): number[] =>
  Array.from({ length: LEVELS }, (_, i) => low + ((i + 0.5) / LEVELS) * (high - low));

/** The room of `freeRoom`, in the clay and going on through the mouth; null where the slab leaves nothing. */
export function roomWithin(
  scope: Scope,
  shape: FreeShape,
  slab: number,
  base: BaseSlab,
  { chord, ...detail }: RoomDetail,
  call: number,
): { within: Solid; through: Solid } | null {
  const { clay } = shape;
  const { min, max } = scope.bounds(clay);
  const low = base ? base.z + base.slab : min[2];
  if (low >= max[2]) return null;
  const mesh = offsetSurface(scope.mesh(shape.extended).mesh, slab, "inside", detail, [low - 1, max[2] + 1]);
  if (mesh.triangles.length === 0) return null;
  const runs = [{ face: "inside" as const, call, start: 0, count: mesh.triangles.length / 3 }];
  const eroded = scope.simplified(scope.solid({ mesh, runs }), chord);
  const tag = { face: "inside", call } as const;
  const above = base ? scope.common(eroded, scope.box([-FAR, -FAR, low], [FAR, FAR, FAR], tag)) : eroded;
  if (!above) return null;
  const { beyond } = shape;
  // What does not run on through an opening is closed off inside the clay.
  const joined = scope.apart(above).filter((piece) => beyond && scope.commonVolume(piece, beyond) > 0);
  if (joined.length === 0) return null;
  const through = scope.union(joined);
  const within = scope.common(through, clay);
  return within && { within, through };
}

/** Diameter of the largest circle in a region, mm. */
function widthOf(scope: Scope, region: Flat): number {
  if (!(region.area > 0)) return 0;
  const widths = scope.flatsApart(region).map((piece) => {
    // Its border first, which reaches further than its holes.
    const loops = scope.loops(piece).sort((a, b) => reachOf(b) - reachOf(a));
    return 2 * polylabel(loops, WIDTH_ERROR / 2).distance;
  });
  return Math.max(...widths);
}

const reachOf = (loop: readonly (readonly [number, number])[]) => Math.max(...loop.map(([x]) => x));
