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

/** Throws where no hump can be made of a body, since it is not seen whole from its middle. */
export function refuseUnseenHump({ body, call }: MoldSpec): void {
  if (isSeenWhole(body)) return;
  const reason =
    "the side of this body is not seen whole from its middle, so that no hump can be made of it; leave side out.";
  throw new KitError("kit-conflict", { call: "mold", reason }, { call, argument: 1, path: ["side"] });
}
