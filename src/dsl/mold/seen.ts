import { Form } from "../form/form.ts";
import { formStarAngle } from "../form/star.ts";
import type { Body } from "../kit/body.ts";
import { KitError } from "../kit/error.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { STAR_ANGLE } from "../tolerances.ts";

/** Whether every level section of a body is met once by each level ray from its middle, and not all but grazed. */
export function isSeenWhole(body: Body): boolean {
  return body.solid === null && formStarAngle(new Form(body, 1)) <= STAR_ANGLE;
}

/** Throws where a mold of this kind is not to be had of a body that is not seen whole from its middle. */
export function refuseUnseen({ body, seams, side, call }: MoldSpec): void {
  if (isSeenWhole(body)) return;
  const reason =
    side === "inside"
      ? "the side of this body is not seen whole from its middle, so that no hump can be made of it; leave side out."
      : "the side of this body is not seen whole from its middle, so that no mold of one piece can be made of it; cut it with split({ parts: 2 }).";
  const target = { call, argument: 1, path: [side === "inside" ? "side" : "seams"] };
  throw new KitError(
    "kit-conflict",
    { call: "mold", reason },
    seams.call >= 0 || side === "inside" ? target : { call },
  );
}
