import type { Finding, Fix } from "../../../shared/finding.ts";
import type { CallId } from "../../../shared/place.ts";
import { FEATURE_ANGLE } from "../tolerances.ts";
import { normalOf } from "../form/form.ts";
import { dot } from "../leaving/vector.ts";
import type { BuiltMold } from "../mold/build.ts";
import type { Vec3 } from "../mold/model.ts";
import { boundsOf } from "../solid/measure.ts";
import { angleOf, tenth } from "./numbers.ts";
import { apart } from "./places.ts";
import { linesIn, sideOf, turnBetween, type Step } from "./surface-lines.ts";

/** Least radius of a corner of 90° that a slab is pressed into, of its thickness (practice). */
const OF_SLAB = 0.5;
/** No corner is rounder for being slight, mm (practice). */
const LEAST_RADIUS = 1.5;
const MOST_ROWS = 12;
const MOST_COLUMNS = 32;
const DEGREE = Math.PI / 180;

/** A stretch that bends outwards, and whether it is one too sharp. */
interface Bend {
  /** mm. */
  radius: number;
  /** What the radius should be, mm. */
  limit: number;
  /** Degrees. */
  turn: number;
  at: Vec3;
  along: "level" | "upright";
}

/**
 * Corners of the mold that clay must be bent into more sharply than its slab bears, worst first in
 * `places`. A corner with a seam on it is spared: there the slab is cut.
 */
export function cornerSharp(built: BuiltMold): Finding[] {
  const { spec, scale, model } = built;
  const sharp = sharpCorners(built).sort((a, b) => a.radius / a.limit - b.radius / b.limit);
  const worst = sharp.at(0);
  if (!worst || spec.slab === "solid") return [];
  const origin = worst.along === "level" ? cornerOption(spec, worst.at[2] / scale.cavity) : -1;
  const hasCorner = origin >= 0;
  // The corner of a hump is rounder by a slab on the pot's outside.
  const outer = Math.max(...sharp.map((bend) => bend.limit)) + underSlab(spec);
  const needed = Math.ceil((outer / scale.cavity) * 2) / 2;
  const fixes: Fix[] = hasCorner
    ? [
        {
          title: "fix-corner",
          args: { corner: needed },
          change: { kind: "setOption", call: origin, argument: 0, path: ["corner"], value: needed },
        },
      ]
    : [];
  return [
    {
      code: "corner-sharp",
      severity: "warning",
      ...variantOf(spec, worst),
      args: {
        radius: tenth(worst.radius),
        limit: tenth(worst.limit),
        turn: Math.round(worst.turn),
        slab: spec.slab,
        z: Math.round(worst.at[2]),
        angle: angleOf(worst.at),
      },
      target: hasCorner ? { call: origin, argument: 0, path: ["corner"] } : { call: spec.body.call },
      mold: model.name,
      value: tenth(worst.radius),
      limit: tenth(worst.limit),
      unit: "mm",
      at: worst.at,
      places: apart(sharp.map((bend) => bend.at)),
      fixes,
    },
  ];
}

/** The call of the outline nearest to a height, fired mm, if its corners are an option of it; else −1. */
function cornerOption({ body }: BuiltMold["spec"], z: number): CallId {
  const [first, ...more] = body.sections;
  if (!first) return -1;
  const nearest = more.reduce((a, b) => (Math.abs(b.z - z) < Math.abs(a.z - z) ? b : a), first);
  const { curve, origin } = nearest.outline;
  return curve.kind === "polygon" || curve.kind === "rounded" ? origin : -1;
}

/** How much less round than the pot's outside is what the slab bends over, mm. */
const underSlab = ({ side, slab }: BuiltMold["spec"]) => (side === "inside" && slab !== "solid" ? slab : 0);

function variantOf({ side, body }: BuiltMold["spec"], { along }: Bend): { variant?: string } {
  if (body.solid) return { variant: "solid" };
  if (side === "inside") return { variant: along === "upright" ? "hump-level" : "hump" };
  return along === "upright" ? { variant: "level" } : {};
}

/** All bends that are too sharp for the slab: around each level, and up the form. */
export function sharpCorners(built: BuiltMold): Bend[] {
  const { grid, seams, spec } = built;
  const { slab } = spec;
  if (slab === "solid") return [];
  if (!grid) return bendsOfSolid(built, slab);
  // A hump begins a slab above the board.
  const less = underSlab(spec);
  const lowest = grid.zs.findIndex((z) => z >= less);
  const rows = evenly(grid.zs.length - lowest, MOST_ROWS).map((j) => lowest + j);
  const level = rows.flatMap((j) => {
    const seamsHere = seams.map((seam): Vec3 => [seam.x[j], seam.y[j], grid.zs[j]]);
    return bends(levelSteps(built, j), slab, less, true).flatMap(({ steps, ...bend }): Bend[] => {
      const length = steps.reduce((sum, step) => sum + step.length, 0);
      const near = (seam: Vec3) =>
        steps.some(({ at }) => Math.hypot(at[0] - seam[0], at[1] - seam[1]) <= length + 0.5);
      return seamsHere.some(near) ? [] : [{ ...bend, along: "level" }];
    });
  });
  const upright = evenly(grid.columns.length, MOST_COLUMNS).flatMap((i) =>
    bends(uprightSteps(built, i), slab, less, false).map((bend): Bend => ({ ...bend, along: "upright" })),
  );
  return [...level, ...upright];
}

/** Planes that are looked at, upright and level, where the surface is known by its facets alone. */
const UPRIGHT_PLANES = 8;
const UP: Vec3 = [0, 0, 1];
/** No upright plane lies where a design often has its edges: by this share of the angle between two. */
const OFF = 0.137;

/** So near to the underside, mm, the side meets a base slab of its own. */
const ON_BASE = 0.1;

/**
 * Bends of the clay of each part: level lines, which end at its seams, where the slab is cut, and upright ones.
 */
function bendsOfSolid({ opening, clay }: BuiltMold, slab: number): Bend[] {
  const { min, max } = boundsOf(clay.mesh);
  const heights = Array.from(
    { length: MOST_ROWS },
    (_, i) => min[2] + ((max[2] - min[2]) * (i + 0.5)) / MOST_ROWS,
  );
  const middle: Vec3 = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, 0];
  const upright = Array.from({ length: UPRIGHT_PLANES }, (_, i): Vec3 => {
    const angle = (Math.PI * (i + OFF)) / UPRIGHT_PLANES;
    return [Math.cos(angle), Math.sin(angle), 0];
  });
  return [...opening.parts.values()].flatMap((part) => {
    const side = sideOf(part.clay);
    const level = heights.flatMap((z) =>
      linesIn(side, UP, z).flatMap(({ steps, closed }) =>
        bends(steps, slab, 0, closed)
          .filter((bend) => closed || !bend.steps.some((step) => step === steps[0] || step === steps.at(-2)))
          .map((bend): Bend => ({ ...bend, along: "level" })),
      ),
    );
    const up = upright.flatMap((m) =>
      linesIn(side, m, dot(m, middle)).flatMap(({ steps, closed }) =>
        bends(steps, slab, 0, closed)
          .filter(({ at }) => at[2] > min[2] + ON_BASE)
          .map((bend): Bend => ({ ...bend, along: "upright" })),
      ),
    );
    return [...level, ...up];
  });
}

function levelSteps({ grid }: BuiltMold, j: number): Step[] {
  if (!grid) return [];
  const z = grid.zs[j];
  const sides = grid.columns.map(({ column, before }) => {
    const after = column.at(z);
    return { p: after, heading: Math.atan2(after.uy, after.ux), before: before?.at(z) };
  });
  return sides.flatMap(({ p, heading, before }, i): Step[] => {
    const next = sides[(i + 1) % sides.length];
    const arriving = next.before ? Math.atan2(next.before.uy, next.before.ux) : next.heading;
    const at: Vec3 = [p.x, p.y, z];
    const onSpot = before
      ? [{ length: 0, turn: turnBetween(Math.atan2(before.uy, before.ux), heading), at }]
      : [];
    return [
      ...onSpot,
      { length: Math.hypot(next.p.x - p.x, next.p.y - p.y), turn: turnBetween(heading, arriving), at },
    ];
  });
}

function uprightSteps({ grid }: BuiltMold, i: number): Step[] {
  if (!grid) return [];
  const { column } = grid.columns[i];
  const { form } = grid;
  const rise = (z: number, below: boolean) => Math.asin(normalOf(column.at(z, below))[2]);
  const at = (z: number): Vec3 => {
    const p = column.at(z);
    return [p.x, p.y, z];
  };
  if (form.side === "straight") {
    // Between sections the way up is straight; rows are snapped off the sections, so those are read themselves.
    return form.zs.slice(1, -1).flatMap((z, k): Step[] => [
      { length: 0, turn: rise(z, false) - rise(z, true), at: at(z) },
      { length: form.zs[k + 2] - z, turn: 0, at: at(z) },
    ]);
  }
  return grid.zs.slice(0, -1).map((z, j): Step => {
    const next = grid.zs[j + 1];
    const [a, b] = [at(z), at(next)];
    return {
      length: Math.hypot(b[0] - a[0], b[1] - a[1], next - z),
      turn: rise(next, true) - rise(z, false),
      at: a,
    };
  });
}

/**
 * Runs of steps that together bend outwards more sharply than the slab bears.
 *
 * @param less how much less round than the steps is what the slab lies on, mm
 */
function bends(
  steps: readonly Step[],
  slab: number,
  less: number,
  closed: boolean,
): (Omit<Bend, "along"> & { steps: Step[] })[] {
  const limitOf = (turn: number) => Math.max(LEAST_RADIUS, (OF_SLAB * slab * turn) / (90 * DEGREE));
  // No bend up to a half turn needs more than this.
  const most = limitOf(Math.PI);
  const isTight = ({ length, turn }: Step) => turn > 1e-6 && length < turn * (most + less);
  const start = closed
    ? Math.max(
        0,
        steps.findIndex((step) => !isTight(step)),
      )
    : 0;
  const runs: Step[][] = [];
  let open = false;
  for (let k = 0; k < steps.length; k++) {
    const step = steps[(start + k) % steps.length];
    if (!isTight(step)) open = false;
    else if (open) runs[runs.length - 1].push(step);
    else {
      runs.push([step]);
      open = true;
    }
  }
  return runs.flatMap((run) => {
    const turn = run.reduce((sum, step) => sum + step.turn, 0);
    const length = run.reduce((sum, step) => sum + step.length, 0);
    const limit = limitOf(Math.min(turn, Math.PI));
    const radius = Math.max(0, length / turn - less);
    if (turn < FEATURE_ANGLE * DEGREE || radius > limit - 0.01) return [];
    const middle = run[run.length >> 1];
    return [{ radius, limit, turn: turn / DEGREE, at: middle.at, steps: run }];
  });
}

/** At most `most` indices of `count`, the first and the last among them. */
function evenly(count: number, most: number): number[] {
  if (count <= most) return Array.from({ length: count }, (_, i) => i);
  return Array.from({ length: most }, (_, i) => Math.round((i * (count - 1)) / (most - 1)));
}
