import { Body } from "./body.ts";
import { checkShrinkage } from "./bodies.ts";
import type { Clay } from "./clay.ts";
import { KitError } from "./error.ts";
import { checkKeys, checkNumber, show } from "./options.ts";
import { recordCall, recordMade } from "./record.ts";

export const SHRINK_DEFAULTS = Object.freeze({ used: 0 } as const);

/**
 * Grows a fired-size body to the wet size its mold must have: wet = fired / (1 − shrinkage).
 *
 * @param body fired size
 * @param shrinkage a `clay(…)`, the name of a clay in `slabwright.json`, or the total linear
 *   shrinkage as a fraction of the wet length, 0 up to 0.3; 0 means that you scale at the printer
 * @param options `used`: the part of it that the slab has lost before it is pressed, fraction,
 *   default 0 (straight off the roller)
 */
export function shrink(body: Body, shrinkage: Clay | string | number, options?: { used?: number }): Body {
  const call = recordCall("shrink");
  if (!(body instanceof Body)) {
    throw new KitError(
      "kit-wrong-type",
      { call: "shrink", key: "the first argument", allowed: "a body, such as loft(…)", value: show(body) },
      { call, argument: 0 },
    );
  }
  const { clay, total } = checkShrinkage("shrink", call, 1, shrinkage);
  const given = {
    ...SHRINK_DEFAULTS,
    ...checkKeys({ name: "shrink", call, argument: 2 }, options, ["used"]),
  };
  const used = checkNumber({ name: "shrink", call, argument: 2 }, "used", given.used, { min: 0, max: total });
  if (clay) recordMade(call, [clay.call]);
  // The grown body shows as the faces of the call that shaped it.
  recordMade(body.call, [call]);
  const shrinkings = [...body.shrinkings, { call, clay, total, used }];
  return new Body(body.sections, body.side, body.open, body.call, shrinkings, body.solid);
}
