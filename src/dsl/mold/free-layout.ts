import { drawnGap } from "../kit/printer.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { snap } from "../solid/weld.ts";
import { SHELL_MARGIN } from "../tolerances.ts";
import type { FlatSeam } from "./flat-seam.ts";
import type { FreeShape } from "./free-shape.ts";
import { CHAMFER, FLOOR, type Layout } from "./layout.ts";
import type { SeamFace } from "./seam-face.ts";

/**
 * Heights and widths of a mold around a body without level sections: it ends where the body is open,
 * at foot and rim, and elsewhere where the flanges around the shell do.
 *
 * @param bounds of the clay
 */
export function freeLayout(
  spec: MoldSpec,
  wall: number,
  shape: FreeShape,
  { min, max }: { min: readonly number[]; max: readonly number[] },
): Layout {
  const around = wall + SHELL_MARGIN + spec.flange.width;
  const floor = spec.base.kind === "floor" && shape.foot !== null;
  const foot = snap(shape.foot === null ? min[2] - around : shape.foot - (floor ? FLOOR.thickness : 0));
  const height = snap(shape.top ?? max[2] + around);
  const low = shape.foot ?? foot;
  const { count, width, depth } = spec.bands;
  return {
    height,
    foot,
    wall,
    flange: spec.flange,
    shelf: { width: spec.rim.width, thick: spec.flange.thickness },
    bands: {
      at: Array.from({ length: count }, (_, i) => low + ((height - low) * (i + 0.5)) / count),
      width,
      depth,
    },
    gutter: { from: foot, to: height },
    floor,
    floorGap: drawnGap(FLOOR.clearance, spec.printer),
  };
}

/** The outer edge of a flat seam for what is put there: upright, `reach` from its axis. */
export function edgeOf({ seam, reach }: { seam: FlatSeam; reach: number }, layout: Layout): SeamFace {
  const [dx, dy] = seam.outwards;
  const start = reach - layout.flange.width;
  const rows = [layout.foot, layout.foot + CHAMFER, layout.height].map((z) =>
    [start, reach].map((r) => ({ x: seam.at[0] + r * dx, y: seam.at[1] + r * dy, z })),
  );
  return { points: rows, hollow: rows, proud: rows, cells: rows.slice(1).map(() => ["seam"]) };
}
