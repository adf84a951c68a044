import { KitError } from "../kit/error.ts";
import type { MoldSpec } from "../kit/mold.ts";
import type { Flat, Scope } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { FreeShape } from "./free-shape.ts";
import { FLOOR, grooveProfile, plateProfile, type Layout } from "./layout.ts";
import { offsetStack } from "./offset-stack.ts";

/** The groove's flanks are cut from this far inside the clay's outline, mm, so that they meet its side at an angle. */
const INSIDE = 0.5;

/** The floor plate under an outline, and the groove for its tongue, to be taken from the walls; null where there is no room. */
function freeFloor(
  scope: Scope,
  outline: Flat,
  foot: number,
  layout: Layout,
  spec: MoldSpec,
): { plate: Tagged; groove: Tagged } | null {
  const slope = Math.tan((FLOOR.bevel * Math.PI) / 180);
  const [above, ...rest] = grooveProfile(layout).slice(0, 4);
  const below = rest[rest.length - 1];
  const profile = [
    { z: above.z + INSIDE * slope, out: -INSIDE },
    ...rest.slice(0, -1),
    { z: below.z - INSIDE * slope, out: -INSIDE },
  ];
  const rising = (levels: readonly { z: number; out: number }[]) =>
    levels.map(({ z, out }) => ({ z: foot + z, out })).reverse();
  const tag = { face: "floor", call: spec.call } as const;
  const groove = offsetStack(scope, outline, rising(profile), tag);
  const plate = offsetStack(scope, outline, rising(plateProfile(layout)), tag, {
    face: "cavity",
    call: spec.body.call,
  });
  return groove && plate ? { groove, plate } : null;
}

/** A floor with the outline of the clay on it, or the reason why there is none. */
export interface FreeFloor {
  outline: Flat;
  plate: Tagged;
  groove: Tagged;
}

/**
 * The floor of a body, where its mold has one. A body without a level foot cannot stand on a plate, and
 * one that is too narrow there for the tongue has no room for it: both are refused.
 */
export function floorOf(scope: Scope, shape: FreeShape, layout: Layout, spec: MoldSpec): FreeFloor | null {
  if (spec.base.kind !== "floor") return null;
  const refuse = (reason: string) =>
    new KitError("kit-conflict", { call: "mold", reason }, { call: spec.call, argument: 1, path: ["base"] });
  if (shape.foot === null)
    throw refuse(
      "this body has no level foot that a floor could lie under; write base: “open”, and the walls close under it.",
    );
  // It goes on upright below its foot.
  const outline = scope.section(shape.extended, shape.foot - FLOOR.lip);
  const made = freeFloor(scope, outline, shape.foot, layout, spec);
  if (!made)
    throw refuse("the foot of this body is too narrow for a floor with its tongue; write base: “open”.");
  return { outline, ...made };
}
