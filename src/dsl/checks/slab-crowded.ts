import type { Finding, Fix } from "../../../shared/finding.ts";
import { normalOf } from "../form/form.ts";
import type { BuiltMold } from "../mold/build.ts";
import type { Grid } from "../mold/grid.ts";
import type { Vec3 } from "../mold/model.ts";
import { angleOf, tenth } from "./numbers.ts";

/** Walls whose normals are further apart than this look at each other, degrees. */
const OPPOSED = 120;
/** Slabs between opposed walls: below the first nothing is left inside, below the second fingers hardly get in. */
const NO_INSIDE = 2;
const CROWDED = 3;
/** Rows that are looked at, besides the first and the last. */
const MOST_ROWS = 20;
/** A thinner slab than this is no way out, mm. */
const LEAST_SLAB = 3;

/** Walls of clay that stand so near to each other that the slabs touch, or nearly so. */
export function slabCrowded({ spec, model, grid, room }: BuiltMold): Finding[] {
  const { slab } = spec;
  if (slab === "solid") return [];
  const nearest = grid ? nearestOpposed(grid) : room?.opposed;
  if (!nearest || nearest.distance >= CROWDED * slab) return [];
  const none = nearest.distance < NO_INSIDE * slab;
  const thinner = Math.floor((nearest.distance / CROWDED) * 2) / 2;
  const fixes: Fix[] =
    thinner >= LEAST_SLAB
      ? [
          {
            title: "fix-slab",
            args: { slab: thinner },
            change: { kind: "setOption", call: spec.call, argument: 1, path: ["slab"], value: thinner },
          },
        ]
      : [];
  const limit = (none ? NO_INSIDE : CROWDED) * slab;
  return [
    {
      code: "slab-crowded",
      severity: none ? "error" : "warning",
      ...(none ? {} : { variant: "tight" }),
      args: {
        distance: tenth(nearest.distance),
        slab,
        limit,
        z: Math.round(nearest.at[2]),
        angle: angleOf(nearest.at),
      },
      target: { call: spec.call, argument: 1, path: ["slab"] },
      mold: model.name,
      value: tenth(nearest.distance),
      limit,
      unit: "mm",
      at: nearest.at,
      fixes,
    },
  ];
}

/**
 * Least distance between walls that look at each other, wet, mm: from each point of a row level
 * inwards to the other side, taken square to the wall it left.
 */
export function nearestOpposed(grid: Grid): { distance: number; at: Vec3 } | null {
  const { zs, columns } = grid;
  const step = Math.max(1, Math.floor(zs.length / MOST_ROWS));
  // A hair more, so that the flats of a triangle do not count.
  const opposed = Math.cos((OPPOSED * Math.PI) / 180) - 1e-6;
  let best: { distance: number; at: Vec3 } | null = null;
  for (let row = 0; row < zs.length + step - 1; row += step) {
    const j = Math.min(row, zs.length - 1);
    const [xs, ys] = [grid.x[j], grid.y[j]];
    const normals = columns.map(({ column }) => normalOf(column.at(zs[j])));
    for (let i = 0; i < columns.length; i++) {
      const [nx, ny, nz] = normals[i];
      const level = Math.hypot(nx, ny);
      if (level < 1e-6) continue;
      const hit = across(xs, ys, i, -nx / level, -ny / level);
      if (!hit) continue;
      const [mx, my, mz] = normals[hit.column];
      if (nx * mx + ny * my + nz * mz > opposed) continue;
      const distance = hit.distance * level;
      if (!best || distance < best.distance) best = { distance, at: [xs[i], ys[i], zs[j]] };
    }
  }
  return best;
}

/** Where a level ray from point `from` of a ring meets the ring again first. */
function across(
  xs: Float64Array,
  ys: Float64Array,
  from: number,
  dx: number,
  dy: number,
): { distance: number; column: number } | null {
  const count = xs.length;
  let best: { distance: number; column: number } | null = null;
  // Side of each point seen along the ray; an edge that changes sides is crossed.
  let before = side(from, (from + 1) % count);
  for (let k = 1; k < count - 1; k++) {
    const a = (from + k) % count;
    const b = (a + 1) % count;
    const after = side(from, b);
    if (before < 0 !== after < 0 && b !== from) {
      const share = before / (before - after);
      const x = xs[a] + share * (xs[b] - xs[a]) - xs[from];
      const y = ys[a] + share * (ys[b] - ys[a]) - ys[from];
      const distance = x * dx + y * dy;
      if (distance > 1e-3 && (!best || distance < best.distance))
        best = { distance, column: share < 0.5 ? a : b };
    }
    before = after;
  }
  return best;

  function side(origin: number, i: number): number {
    return dx * (ys[i] - ys[origin]) - dy * (xs[i] - xs[origin]);
  }
}
