import type { Finding, Fix } from "../../../shared/finding.ts";
import { linesForWall, wallOfLines } from "../kit/printer.ts";
import type { BuiltMold } from "../mold/build.ts";
import { boundsOf } from "../solid/measure.ts";
import { hundredth, tenth } from "./numbers.ts";
import { linesIn, sideOf, turnBetween, type Line } from "./surface-lines.ts";

/** Press of a thumb or the heel of a hand on a flat, N (practice). */
const PRESS = 100;
/** A flat that bends more shows in the pot, mm (practice). */
const MOST_BEND = 1;
/** Young's modulus of PLA, MPa, and Poisson's ratio (memory). */
const MODULUS = 3000;
const POISSON = 0.35;
/** Deflection factor of a clamped square plate under a load at its middle [S: Timoshenko, Theory of Plates and Shells]. */
const CLAMPED_SQUARE = 0.0056;
/** A stretch of outline that turns less than this is flat, degrees. */
const FLAT_TURN = 15;

/** Deflection of a clamped square panel pressed in its middle, mm: w = 0.0056·F·a²/D. */
export function panelBend(span: number, thickness: number): number {
  const stiffness = (MODULUS * thickness ** 3) / (12 * (1 - POISSON ** 2));
  return (CLAMPED_SQUARE * PRESS * span * span) / stiffness;
}

/** A shell of less than two lines, or one that bends under the hand. */
export function wallThin(built: BuiltMold): Finding[] {
  const { spec, model } = built;
  const { printer } = spec;
  const two = wallOfLines(2, printer);
  const target = { call: spec.call, argument: 1, path: ["wall"] };
  const setWall = (wall: number): Fix => ({
    title: "fix-wall",
    args: { wall },
    change: { kind: "setOption", call: spec.call, argument: 1, path: ["wall"], value: wall },
  });
  if (model.build.wall < two - 1e-9) {
    const limit = Math.ceil(two * 10) / 10;
    return [
      {
        code: "wall-thin",
        severity: "error",
        args: { wall: spec.wall, limit },
        target,
        mold: model.name,
        value: spec.wall,
        limit,
        unit: "mm",
        fixes: [setWall(limit)],
      },
    ];
  }
  // Of a hump in two its halves are solid.
  if (spec.side === "inside" && spec.seams.kind === "seams") return [];
  const span = widestFlat(built);
  const bend = panelBend(span, model.build.wall);
  if (bend <= MOST_BEND) return [];
  let lines = linesForWall(spec.wall, printer);
  while (panelBend(span, wallOfLines(lines, printer)) > MOST_BEND) lines++;
  // A wall of so many lines, named by a round number not above it.
  const needed = Math.floor(wallOfLines(lines, printer) * 10) / 10;
  return [
    {
      code: "wall-thin",
      severity: "warning",
      variant: "bends",
      args: { span: tenth(span), bend: hundredth(bend), needed },
      target,
      mold: model.name,
      value: hundredth(bend),
      limit: MOST_BEND,
      unit: "mm",
      fixes: [setWall(needed)],
    },
  ];
}

/** The widest stretch of any level section that hardly turns, between its ends or the seams, mm. */
export function widestFlat(built: BuiltMold): number {
  const { grid, seams } = built;
  if (!grid) return widestFlatOfSolid(built);
  const count = grid.columns.length;
  let widest = 0;
  for (const row of [0, grid.zs.length >> 1, grid.zs.length - 1]) {
    const x = grid.x[row];
    const y = grid.y[row];
    const heading = (i: number) => {
      const k = (i + 1) % count;
      return Math.atan2(y[k] - y[i % count], x[k] - x[i % count]);
    };
    for (let start = 0; start < count; start++) {
      let turned = 0;
      for (let i = start; i < start + count; i++) {
        const k = (i + 1) % count;
        const chord = Math.hypot(x[k] - x[start], y[k] - y[start]);
        widest = Math.max(widest, chord);
        if (seams.some((seam) => seam.x[row] === x[k] && seam.y[row] === y[k])) break;
        turned += turnBetween(heading(i), heading(i + 1));
        if (Math.abs(turned) * (180 / Math.PI) > FLAT_TURN) break;
      }
    }
  }
  return Math.min(widest, grid.form.height);
}

/** Levels that are looked at where the surface is known by its facets alone, as shares of the height. */
const LEVELS = [0.02, 0.26, 0.5, 0.74, 0.98];

/** The same, on level lines of the clay of each part. */
function widestFlatOfSolid({ spec, opening, clay }: BuiltMold): number {
  // The halves around a solid piece are blocks.
  if (spec.seams.kind === "halves") return 0;
  const { min, max } = boundsOf(clay.mesh);
  const height = max[2] - min[2];
  const lines = [...opening.parts.values()].flatMap((part) => {
    const side = sideOf(part.clay);
    return LEVELS.flatMap((share) => linesIn(side, [0, 0, 1], min[2] + share * height));
  });
  return Math.min(Math.max(0, ...lines.map(widestStretch)), height);
}

function widestStretch({ steps, closed }: Line): number {
  const count = steps.length;
  let widest = 0;
  for (let start = 0; start < count; start++) {
    let turned = 0;
    for (let i = start; i < (closed ? start + count : count - 1); i++) {
      turned += steps[i % count].turn;
      if (Math.abs(turned) * (180 / Math.PI) > FLAT_TURN) break;
      const [from, to] = [steps[start].at, steps[(i + 1) % count].at];
      widest = Math.max(widest, Math.hypot(to[0] - from[0], to[1] - from[1]));
    }
  }
  return widest;
}
