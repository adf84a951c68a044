import type { Quality } from "../../../shared/engine.ts";
import { renderMessage, type MessageCode } from "../../../shared/messages.ts";
import type { Body } from "../kit/body.ts";
import { KitError } from "../kit/error.ts";
import { withScope, type Scope } from "../solid/kernel.ts";
import type { Mesh } from "../solid/mesh.ts";
import { tidy } from "../solid/tidy.ts";
import { SURFACE } from "../tolerances.ts";
import { RUN_ON } from "./free-detail.ts";
import { baseIn, ROOM, roomWithin } from "./free-room.ts";
import { freeShape, type FreeShape, type Opening } from "./free-shape.ts";
import { Unbuildable } from "./unbuildable.ts";

/** What the kit itself asks of bodies that are not seen whole from their middle. The kernel must be loaded. */

/**
 * The room of a body inside its slab and above its base, in the body's own frame; null where nothing is left.
 *
 * @param slab of the side and of the base, mm, in the body's frame
 * @param name of the kit's call that asks, for its errors
 */
export function insideMesh(body: Body, slab: number, name: string): Mesh | null {
  return measured(body, { scale: 1, slab, quality: "idle", opening: OPEN }, name, (scope, shape) => {
    const room = roomWithin(scope, shape, slab, baseIn(shape, body, slab), ROOM.idle, body.call);
    return room && tidy(scope.mesh(room.within)).mesh;
  });
}

/**
 * Volume of that room when it is filled to below its brim, mm³.
 *
 * @param scale wet size / fired size
 * @param slab wet, mm
 * @param below how far under the body's level top it is filled, wet, mm
 */
export function insideVolumeOf(
  body: Body,
  scale: number,
  slab: number,
  below: number,
  quality: Quality,
  name: string,
): number {
  return measured(body, { scale, slab, quality, opening: OPEN }, name, (scope, shape) => {
    const room = roomWithin(scope, shape, slab, baseIn(shape, body, slab), ROOM[quality], body.call);
    if (!room || below === 0) return room?.within.volume ?? 0;
    const brim = shape.top ?? scope.bounds(shape.clay).max[2];
    const filled = scope.box([-FAR, -FAR, -FAR], [FAR, FAR, brim - below], {
      face: "inside",
      call: body.call,
    });
    return scope.commonVolume(room.within, filled);
  });
}

/** A body's largest extent along an axis, mm, and the volume of its clay when solid, mm³; fired frame. */
export function sizeOf(body: Body, name: string): { extent: number; volume: number } {
  return measured(body, { scale: 1, slab: 0, quality: "typing", opening: OPEN }, name, (scope, { clay }) => {
    const { min, max } = scope.bounds(clay);
    return { extent: Math.max(...max.map((high, axis) => high - min[axis])), volume: clay.volume };
  });
}

/** Further than any vessel reaches, mm. */
const FAR = 4000;

/** A level section is read at least this far from the ends of a body, mm. */
const WITHIN = 0.001;
/** and its border may be this far from where it was, mm. */
const PLAIN = 0.01;

/** A body's level sections, fired frame, mm. */
export interface Levels {
  /** Heights of its lowest and its highest point. */
  min: number;
  max: number;
  /** The borders at a height, xy, counter-clockwise around what is clay. */
  loopsAt(z: number): [number, number][][];
}

export function onLevels<T>(body: Body, name: string, use: (levels: Levels) => T): T {
  return measured(
    body,
    { scale: 1, slab: 0, quality: "idle", opening: { closed: true } },
    name,
    (scope, { clay }) => {
      const bounds = scope.bounds(clay);
      const [min, max] = [bounds.min[2], bounds.max[2]];
      const within = (z: number) => Math.min(Math.max(z, min + WITHIN), max - WITHIN);
      return use({
        // What was snapped is rounded outwards, so that the height that was written is within.
        min: Math.floor(min / WITHIN) * WITHIN,
        max: Math.ceil(max / WITHIN) * WITHIN,
        loopsAt: (z) => scope.loops(scope.plainer(scope.section(clay, within(z)), PLAIN)),
      });
    },
  );
}

/** A pot stands on a slab where it has a level foot. */
const OPEN: Opening = { foot: true };

/** How a body is looked at. */
interface View {
  /** Wet size / fired size. */
  scale: number;
  /** mm. */
  slab: number;
  quality: Quality;
  opening: Opening;
}

/** What encloses no clay cannot be measured: a misuse by the call that asks, at the call that made it. */
function measured<T>(
  body: Body,
  { scale, slab, quality, opening }: View,
  name: string,
  measure: (scope: Scope, shape: FreeShape) => T,
): T {
  try {
    return withScope((scope) =>
      measure(scope, freeShape(scope, body, scale, SURFACE[quality], slab + RUN_ON, opening)),
    );
  } catch (error) {
    if (!(error instanceof Unbuildable)) throw error;
    const { code, variant, args, target } = error.finding;
    const message = (variant === undefined ? code : `${code}-${variant}`) as MessageCode;
    throw new KitError("kit-conflict", { call: name, reason: renderMessage(message, args) }, target);
  }
}
