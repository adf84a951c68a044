import type { Cutter } from "../kit/cutter.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { wallOfLines } from "../kit/printer.ts";
import { withScope } from "../solid/kernel.ts";
import { tidy } from "../solid/tidy.ts";
import type { Grid } from "./grid.ts";
import { lastNotAbove } from "./shell.ts";
import type { Tagged } from "../solid/tagged.ts";

/** Heights and widths of a printed cutter, mm (practice). */
const GRIP = { width: 6, thickness: 3 };
const BLADE_SPARE = 10;
const TIP = 2;

/** Outline of the base slab in soft clay, xy pairs counter-clockwise, mm, and how far it is grown. */
export interface BaseSlab {
  loop: [number, number][];
  grow: number;
}

/**
 * What the base is cut to: between the walls it is a plug, one slab inside the outline at its
 * mid-height; under them it is the full outline of the foot. Freshly rolled slab has yet to lose
 * what pressed slab has lost (`used`), so it is cut that much larger.
 */
export function baseSlab(grid: Grid, spec: MoldSpec, used: number, allowance: number): BaseSlab {
  const inside = spec.base.join === "inside";
  const z = inside ? spec.base.slab / 2 : 0;
  const row = lastNotAbove(grid.zs, z);
  const next = Math.min(row + 1, grid.zs.length - 1);
  const share = next === row ? 0 : (z - grid.zs[row]) / (grid.zs[next] - grid.zs[row]);
  const fresh = 1 / (1 - used);
  const loop = grid.columns.map((_, i): [number, number] => [
    fresh * (grid.x[row][i] * (1 - share) + grid.x[next][i] * share),
    fresh * (grid.y[row][i] * (1 - share) + grid.y[next][i] * share),
  ]);
  return { loop, grow: allowance - (inside && spec.slab !== "solid" ? spec.slab * fresh : 0) };
}

/** A cutter to be printed standing on its grip, blade up: the clay's edge is its inner face. */
export function buildBaseCutter(grid: Grid, spec: MoldSpec, cutter: Cutter, used: number): Tagged {
  const { loop, grow } = baseSlab(grid, spec, used, cutter.allowance);
  const { printer } = spec;
  const tag = { face: "cutter", call: cutter.call } as const;
  const blade = GRIP.thickness + spec.base.slab + BLADE_SPARE;
  const body = wallOfLines(3, printer);
  const tip = wallOfLines(1, printer);
  return withScope((scope) => {
    const grip = scope.prism(loop, grow + GRIP.width, GRIP.thickness, tag);
    const thick = scope.prism(loop, grow + body, blade - TIP, tag);
    const thin = scope.prism(loop, grow + tip, blade, tag);
    const clay = scope.move(scope.prism(loop, grow, blade + 2, tag), [0, 0, -1]);
    return tidy(scope.mesh(scope.subtract(scope.add(scope.add(grip, thick), thin), clay)));
  });
}
