import { Body } from "./body.ts";
import { KitError } from "./error.ts";
import { show } from "./options.ts";
import { recordCall, recordMade } from "./record.ts";

/**
 * What of a body lies outside another, such as a handle without what would stand in the pot: the cut
 * becomes an opening, and the mold's rim there has the shape of the pot.
 *
 * @param body fired size, not yet shrunk
 * @param by fired size, not yet shrunk; where its own mouth is does not matter, it counts as full
 */
export function trim(body: Body, by: Body): Body {
  const call = recordCall("trim");
  for (const [argument, value] of [body, by].entries()) {
    if (!(value instanceof Body)) {
      const key = argument === 0 ? "the first argument" : "the second argument";
      const allowed = "a body, such as sweep(…) or loft(…)";
      throw new KitError(
        "kit-wrong-type",
        { call: "trim", key, allowed, value: show(value) },
        { call, argument },
      );
    }
    if (value.shrinkings.length > 0) {
      const reason = "both bodies must be fired size; shrink what trim(…) gives.";
      throw new KitError("kit-conflict", { call: "trim", reason }, { call, argument });
    }
  }
  recordMade(call, [body.call, by.call]);
  return new Body([], body.side, body.open, call, [], { kind: "trim", body, by });
}
