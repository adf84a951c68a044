import type { CallId } from "../../../shared/place.ts";
import { MeshBuilder } from "../solid/builder.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { Grid } from "./grid.ts";
import { bedLevel, CHAMFER, FLOOR, type Layout } from "./layout.ts";
import type { Vec3 } from "./model.ts";
import type { SeamFace } from "./seam-face.ts";

/** Half the width of a foot, mm (practice). */
const HALF = 20;
/** A narrower foot steadies nothing: half its width, mm. */
const LEAST_HALF = 5;
/** Feet stand out beyond everything else of the back, mm. */
const PROUD = 1;
/** From a foot to the seam's flange, mm. */
const ROOM = 1;
/** Steps of a foot across and up, mm. */
const STEP = 4;
/** A back leans no more than this from upright, however steep the pull: sine of 30°. */
const MOST_LEAN = 0.5;

/** Unit direction that points down when a part lies on its back: its pull, or the nearest that leans no more than 30°. */
export function backOf(pull: Vec3): Vec3 | null {
  const level = Math.hypot(pull[0], pull[1]);
  if (level < 1e-6) return null;
  const rise = Math.min(MOST_LEAN, Math.max(-MOST_LEAN, pull[2]));
  const share = Math.sqrt(1 - rise * rise) / level;
  return [pull[0] * share, pull[1] * share, rise];
}

/**
 * Feet on which a part lies on its back, its clay face up: one at the rim and one at the foot, which
 * end in one plane square to the pull, or to `backOf` it. They root in the middle of the shell and taper at 45°, so that
 * they print without support. None where the part is too narrow for them: it then lies on its flanges.
 *
 * @param pull unit, mold frame
 * @param wall the part without them
 * @param sides the seam faces on either side of it
 */
export function backFeet(
  grid: Grid,
  wall: Mesh,
  sides: readonly SeamFace[],
  pull: Vec3,
  layout: Layout,
  call: CallId,
): Tagged[] {
  const down = backOf(pull);
  if (down === null) return [];
  const level = Math.hypot(down[0], down[1]);
  const d: Back["d"] = [down[0] / level, down[1] / level];
  const aside = grid.centres.reduce((sum, c) => sum + c.y * d[0] - c.x * d[1], 0) / grid.centres.length;
  const back: Back = { d, aside, far: farthest(wall, down) / level + PROUD, rise: down[2] / level };
  const { foot, height, shelf } = layout;
  const onRim = bedLevel(layout) === height;
  // Only the foot that stands on the bed goes as far as the end of its part.
  const [low, top] = onRim ? [foot + CHAMFER, height] : [foot, height - CHAMFER];
  const half = (height - Math.max(0, foot)) / 2;
  // As far as the taper takes from the plane to the clay.
  const taperAt = (z: number) => shelf.thick + plane(back, z) - shallowest(grid, back, z);
  const [most, slope] = onRim ? [height - foot - CHAMFER, 1 - Math.max(0, back.rise)] : [half, 1];
  const reach = Math.min(half, taperAt(top));
  const under = onRim ? Math.min(most, taperAt(low) / slope) : reach;
  const rim = levels(top - reach, top, [top - shelf.thick, ...(onRim ? [top - CHAMFER] : [])]);
  const base = levels(low, onRim ? low + under : Math.min(height - half, low + reach), [
    low + CHAMFER,
    low + shelf.thick,
  ]);
  const chamfered = (atBed: boolean) => (atBed ? -CHAMFER : 0);
  return [
    oneFoot(
      grid,
      sides,
      back,
      rim,
      layout,
      call,
      (z) => chamfered(onRim && z > top - CHAMFER) + Math.min(0, z - (top - shelf.thick)),
    ),
    oneFoot(grid, sides, back, base, layout, call, (z) =>
      !onRim && z < low + CHAMFER ? -CHAMFER : Math.min(0, slope * (low + shelf.thick - z)),
    ),
  ].flatMap((one) => one ?? []);
}

/** The plane on which a part lies, and where its feet stand. */
interface Back {
  /** Level direction of the pull. */
  d: [number, number];
  /** The middle of the vessel, across the pull, mm. */
  aside: number;
  /** Distance of the plane on z = 0, mm, and how much nearer it comes with each mm up. */
  far: number;
  rise: number;
}

/** How far the plane stands out on a level. */
const plane = (back: Back, z: number) => back.far - z * back.rise;

function farthest({ positions: p }: Mesh, m: Vec3): number {
  let far = -Infinity;
  for (let i = 0; i < p.length; i += 3) far = Math.max(far, p[i] * m[0] + p[i + 1] * m[1] + p[i + 2] * m[2]);
  return far;
}

/** Heights from one to another in even steps, with some that must be there. */
function levels(low: number, high: number, more: readonly number[]): number[] {
  const count = Math.max(1, Math.ceil((high - low) / STEP));
  const even = Array.from({ length: count + 1 }, (_, i) => low + ((high - low) * i) / count);
  const kept = even.filter((z) => z === low || z === high || more.every((own) => Math.abs(own - z) > 0.2));
  return [...kept, ...more.filter((z) => z > low + 0.2 && z < high - 0.2)].sort((a, b) => a - b);
}

/** How far the clay stands out along the pull on a level, least over the width of a foot. */
function shallowest(grid: Grid, back: Back, z: number): number {
  return Math.min(...[-HALF, 0, HALF].map((t) => clayAt(grid, back, t, z)).filter(Number.isFinite), back.far);
}

/**
 * How far the clay stands out along the pull beside a place across it, mm: the most within a step to
 * either side, up or down. −∞ where there is none.
 */
function clayAt(grid: Grid, { d, aside }: Back, across: number, z: number): number {
  let most = -Infinity;
  const height = Math.min(grid.zs[grid.zs.length - 1], Math.max(grid.zs[0], z));
  grid.zs.forEach((level, j) => {
    const near = Math.abs(level - height) <= STEP || (grid.zs[j - 1] < height && grid.zs[j + 1] > height);
    if (!near) return;
    const c = grid.centres[j];
    const count = grid.columns.length;
    const place = (i: number) => {
      const [x, y] = [grid.x[j][i % count], grid.y[j][i % count]];
      return { s: x * d[0] + y * d[1], t: y * d[0] - x * d[1] - aside };
    };
    const middle = c.x * d[0] + c.y * d[1];
    let a = place(0);
    for (let i = 1; i <= count; i++) {
      const b = place(i);
      const [low, high] = [
        Math.max(across - STEP, Math.min(a.t, b.t)),
        Math.min(across + STEP, Math.max(a.t, b.t)),
      ];
      if (low <= high && a.s + b.s > 2 * middle) {
        for (const t of [low, high]) {
          const share = a.t === b.t ? 0 : (t - a.t) / (b.t - a.t);
          most = Math.max(most, a.s + share * (b.s - a.s), a.t === b.t ? b.s : -Infinity);
        }
      }
      a = b;
    }
  });
  return most;
}

/** One foot over these levels; `less` is how far it stays behind the plane on each. Null where there is no room. */
function oneFoot(
  grid: Grid,
  sides: readonly SeamFace[],
  back: Back,
  zs: readonly number[],
  layout: Layout,
  call: CallId,
  less: (z: number) => number,
): Tagged | null {
  const half = Math.min(HALF, roomBetween(sides, back, zs, layout));
  if (half < LEAST_HALF) return null;
  const count = Math.max(2, Math.ceil((2 * half) / STEP));
  const ts = Array.from({ length: count + 1 }, (_, k) => -half + (2 * half * k) / count);
  // Rooted half-way into the shell, and beyond the groove of a floor.
  const root = (z: number) =>
    layout.wall / 2 + (z < STEP && layout.floor ? FLOOR.tongue + layout.floorGap : 0);
  const inner = zs.map((z) => ts.map((t) => clayAt(grid, back, t, z) + root(z)));
  if (inner.some((row) => !row.every(Number.isFinite))) return null;
  const builder = new MeshBuilder(4 * zs.length * ts.length);
  builder.face("outside", call);
  const [dx, dy] = back.d;
  const vertex = (s: number, across: number, z: number) => {
    const t = across + back.aside;
    return builder.vertex(s * dx - t * dy, s * dy + t * dx, z);
  };
  const near = zs.map((z, j) => ts.map((t, k) => vertex(inner[j][k], t, z)));
  // Where the taper has run into the shell the foot is a thin sheet within it.
  const far = zs.map((z, j) =>
    ts.map((t, k) => vertex(Math.max(plane(back, z) + less(z), inner[j][k] + layout.wall / 4), t, z)),
  );
  const last = ts.length - 1;
  for (let j = 0; j + 1 < zs.length; j++) {
    for (let k = 0; k < last; k++) {
      builder.quad(far[j][k], far[j][k + 1], far[j + 1][k + 1], far[j + 1][k]);
      builder.quad(near[j][k + 1], near[j][k], near[j + 1][k], near[j + 1][k + 1]);
    }
    builder.quad(near[j][0], far[j][0], far[j + 1][0], near[j + 1][0]);
    builder.quad(far[j][last], near[j][last], near[j + 1][last], far[j + 1][last]);
  }
  const top = zs.length - 1;
  for (let k = 0; k < last; k++) {
    builder.quad(near[0][k], near[0][k + 1], far[0][k + 1], far[0][k]);
    builder.quad(far[top][k], far[top][k + 1], near[top][k + 1], near[top][k]);
  }
  return builder.finish();
}

/** Half the width that the flanges on either side leave a foot, mm. */
function roomBetween(sides: readonly SeamFace[], back: Back, zs: readonly number[], layout: Layout): number {
  const [dx, dy] = back.d;
  let least = Infinity;
  for (const face of sides) {
    for (const row of face.points) {
      if (row[0].z < zs[0] - STEP || row[0].z > zs[zs.length - 1] + STEP) continue;
      // Rulings are straight: their ends, and what lies between, in steps.
      const [start, end] = [row[0], row[row.length - 1]];
      for (let i = 0; i <= 8; i++) {
        const x = start.x + ((end.x - start.x) * i) / 8;
        const y = start.y + ((end.y - start.y) * i) / 8;
        if (x * dx + y * dy > 0) least = Math.min(least, Math.abs(y * dx - x * dy - back.aside));
      }
    }
  }
  return least - layout.flange.thickness - ROOM;
}
