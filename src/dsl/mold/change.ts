import { withScope } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import { tidy } from "../solid/tidy.ts";
import type { PartChange } from "./build.ts";

/**
 * A part with its additions put on and its cuts taken out: one solid for each sign. Where
 * it is only to be looked at, facets within `chord` mm of one another may be joined.
 */
export function withChange(bare: Tagged, { adds, cuts }: PartChange, chord = 0): Tagged {
  if (adds.length === 0 && cuts.length === 0) return bare;
  return withScope((scope) => {
    let solid = scope.solid(bare);
    if (adds.length > 0) solid = scope.add(solid, scope.union(adds.map((one) => scope.solid(one))));
    if (cuts.length > 0) solid = scope.subtract(solid, scope.union(cuts.map((one) => scope.solid(one))));
    return tidy(scope.mesh(chord > 0 ? scope.simplified(solid, chord) : solid));
  });
}
