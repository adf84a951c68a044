import type { Cutter } from "../kit/cutter.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { withScope } from "../solid/kernel.ts";
import { tidy } from "../solid/tidy.ts";
import { loosePart } from "./assemble.ts";
import { buildBaseCutter, type LevelCavity } from "./base-cutter.ts";
import type { Grid } from "./grid.ts";
import type { MoldPart } from "./model.ts";

/** Width of a rail that the roller runs on, mm (practice). */
const RAIL_WIDTH = 20;
/** Free at the edges of the bed, mm. */
const BED_EDGE = 5;

/** The printed tools that come with a mold: cutters for slabs, and rails to roll them by. */
export function toolParts(
  cavity: Grid | LevelCavity,
  spec: MoldSpec,
  used: number,
  chord: number,
): MoldPart[] {
  return spec.cutters.flatMap((one) =>
    one.kind === "rails"
      ? rails(spec, one)
      : [loosePart("cutter-base", "cutter", buildBaseCutter(cavity, spec, one, used, chord))],
  );
}

/** Two rails as thick as the slab, each in as many equal pieces as the bed asks for. */
function rails(spec: MoldSpec, cutter: Cutter): MoldPart[] {
  if (spec.slab === "solid") return [];
  const { slab, printer } = spec;
  const longest = Math.max(printer.bed[0], printer.bed[1]) - 2 * BED_EDGE;
  const pieces = Math.ceil(cutter.length / longest);
  const length = cutter.length / pieces;
  return Array.from({ length: 2 * pieces }, (_, i) => {
    const solid = withScope((scope) =>
      tidy(
        scope.mesh(scope.box([0, 0, 0], [length, RAIL_WIDTH, slab], { face: "cutter", call: cutter.call })),
      ),
    );
    return loosePart(`rail-${i + 1}`, "rail", solid);
  });
}
