import type { Form } from "../form/form.ts";
import { formStarAngle } from "../form/star.ts";
import { KitError } from "../kit/error.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { STAR_ANGLE } from "../tolerances.ts";

/** Throws where some level ray from the middle meets the side more than once, or all but grazes it. */
export function refuseUnseen(form: Form, spec: MoldSpec): void {
  if (formStarAngle(form) <= STAR_ANGLE) return;
  throw new KitError(
    "kit-not-yet",
    {
      call: "mold",
      key: "a form whose side is not seen whole from its middle",
      allowed: "Fill its hollow, or make it shallower.",
    },
    { call: spec.body.call },
  );
}
