import { withScope, type Scope, type Solid } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import { tidy } from "../solid/tidy.ts";
import type { PartChange } from "./build.ts";

/**
 * A part with its additions put on and its cuts taken out: one solid for each sign. Where
 * it is only to be looked at, facets within `chord` mm of one another may be joined.
 */
export function withChange(bare: Tagged, change: PartChange, chord = 0): Tagged {
  if (change.adds.length === 0 && change.cuts.length === 0) return bare;
  return withScope((scope) => changed(scope, scope.solid(bare), change, chord));
}

/** The same for a part that the kernel holds already. */
export function changed(scope: Scope, bare: Solid, { adds, cuts }: PartChange, chord = 0): Tagged {
  let solid = bare;
  if (adds.length > 0) solid = scope.add(solid, scope.union(adds.map((one) => scope.solid(one))));
  if (cuts.length > 0) solid = scope.subtract(solid, scope.union(cuts.map((one) => scope.solid(one))));
  return tidy(scope.mesh(chord > 0 ? scope.simplified(solid, chord) : solid));
}
