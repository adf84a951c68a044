import { KitError } from "../kit/error.ts";
import type { MoldSpec } from "../kit/mold.ts";
import type { Scope, Solid } from "../solid/kernel.ts";
import type { LevelCavity } from "./base-cutter.ts";
import type { FreeShape } from "./free-shape.ts";

/** The outlines that a base slab is cut to. Asked for where the body has no level foot, it is refused. */
export function baseOf(
  scope: Scope,
  clay: Solid,
  { foot }: Pick<FreeShape, "foot">,
  spec: MoldSpec,
): LevelCavity {
  return {
    outlineAt: (z) => {
      if (foot === null) {
        const reason = "this body has no level foot, so no base slab to cut; leave cutter.base out.";
        throw new KitError(
          "kit-conflict",
          { call: "mold", reason },
          { call: spec.call, argument: 1, path: ["cutters"] },
        );
      }
      const loops = scope.loops(scope.section(clay, foot + Math.max(z, ABOVE)));
      return loops.reduce((a, b) => (Math.abs(areaOf(b)) > Math.abs(areaOf(a)) ? b : a));
    },
  };
}

/** The outline of the foot is read this far above it, mm. */
const ABOVE = 0.01;

function areaOf(loop: readonly (readonly [number, number])[]): number {
  return loop.reduce((sum, [x, y], i) => {
    const [nx, ny] = loop[(i + 1) % loop.length];
    return sum + (x * ny - nx * y) / 2;
  }, 0);
}
