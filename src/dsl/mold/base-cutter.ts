import type { Cutter } from "../kit/cutter.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { wallOfLines } from "../kit/printer.ts";
import { withScope } from "../solid/kernel.ts";
import { tidy } from "../solid/tidy.ts";
import { thinnedRing } from "./coarse.ts";
import type { Grid } from "./grid.ts";
import { distinct } from "./offset-stack.ts";
import { lastNotAbove } from "./shell.ts";
import { MeshBuilder } from "../solid/builder.ts";
import type { FaceRun, Tagged } from "../solid/tagged.ts";

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
export function baseSlab(
  cavity: Grid | LevelCavity,
  spec: MoldSpec,
  used: number,
  allowance: number,
): BaseSlab {
  const inside = spec.base.join === "inside";
  const z = inside ? spec.base.slab / 2 : 0;
  const fresh = 1 / (1 - used);
  const grow = allowance - (inside && spec.slab !== "solid" ? spec.slab * fresh : 0);
  const loop = "outlineAt" in cavity ? cavity.outlineAt(z) : outlineOf(cavity, z);
  return { loop: loop.map(([x, y]) => [fresh * x, fresh * y]), grow };
}

/** A cavity whose level outlines are known one by one. */
export interface LevelCavity {
  /** The largest outline at a height above the foot, mm; xy pairs counter-clockwise. */
  outlineAt(z: number): [number, number][];
}

function outlineOf(grid: Grid, z: number): [number, number][] {
  const row = lastNotAbove(grid.zs, z);
  const next = Math.min(row + 1, grid.zs.length - 1);
  const share = next === row ? 0 : (z - grid.zs[row]) / (grid.zs[next] - grid.zs[row]);
  return grid.columns.map((_, i): [number, number] => [
    grid.x[row][i] * (1 - share) + grid.x[next][i] * share,
    grid.y[row][i] * (1 - share) + grid.y[next][i] * share,
  ]);
}

/** Points of its outlines nearer to each other than this, mm, leave slivers between them. */
const LEAST_EDGE = 0.01;

/** A cutter to be printed standing on its grip, blade up: the clay's edge is its inner face. */
export function buildBaseCutter(
  cavity: Grid | LevelCavity,
  spec: MoldSpec,
  cutter: Cutter,
  used: number,
  chord = 0,
): Tagged {
  const { loop: all, grow } = baseSlab(cavity, spec, used, cutter.allowance);
  const loop = thinnedRing(
    all.map(([x, y]) => ({ x, y })),
    chord,
  ).map(({ x, y }): [number, number] => [x, y]);
  const { printer } = spec;
  const tag = { face: "cutter", call: cutter.call } as const;
  const blade = GRIP.thickness + spec.base.slab + BLADE_SPARE;
  const body = wallOfLines(3, printer);
  const tip = wallOfLines(1, printer);
  return withScope((scope) => {
    const outlines = [grow + GRIP.width, grow + body, grow + tip, grow].map((by) =>
      distinct(scope.grown(loop, by), LEAST_EDGE),
    );
    if (outlines.every((polygons) => polygons.length === 1)) {
      const [grip, thick, thin, clay] = outlines.map(([polygon]) => polygon);
      return nestedRings([grip, thick, thin], [0, GRIP.thickness, blade - TIP, blade], clay, tag);
    }
    const grip = scope.prism(loop, grow + GRIP.width, GRIP.thickness, tag);
    const thick = scope.prism(loop, grow + body, blade - TIP, tag);
    const thin = scope.prism(loop, grow + tip, blade, tag);
    const clay = scope.move(scope.prism(loop, grow, blade + 2, tag), [0, 0, -1]);
    return tidy(scope.mesh(scope.subtract(scope.add(scope.add(grip, thick), thin), clay)));
  });
}

/**
 * Rings one on the other, each within the one below, with one hole through all. `heights` are
 * those of the foot and of the top of each ring.
 */
function nestedRings(
  rings: readonly Loop[],
  heights: readonly number[],
  hole: Loop,
  tag: Pick<FaceRun, "face" | "call">,
): Tagged {
  const builder = new MeshBuilder(8 * hole.length);
  builder.face(tag.face, tag.call);
  const at = (loop: Loop, z: number) => loop.map(([x, y]) => builder.vertex(x, y, z));
  const side = (loop: Loop, from: number, to: number) => {
    const [low, high] = [at(loop, from), at(loop, to)];
    for (let i = 0; i < loop.length; i++) {
      const k = (i + 1) % loop.length;
      builder.quad(low[i], low[k], high[k], high[i]);
    }
  };
  const inwards = (loop: readonly number[]) => [...loop].reverse();
  builder.cap([at(rings[0], heights[0]), inwards(at(hole, heights[0]))], false);
  rings.forEach((ring, i) => {
    const top = heights[i + 1];
    side(ring, heights[i], top);
    builder.cap([at(ring, top), inwards(at(rings[i + 1] ?? hole, top))], true);
  });
  side([...hole].reverse(), heights[0], heights[heights.length - 1]);
  return builder.finish();
}

type Loop = readonly (readonly [number, number])[];
