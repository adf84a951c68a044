import type { CallId } from "../../../shared/place.ts";
import { MeshBuilder } from "../solid/builder.ts";
import { massCentreOf } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
import type { Tagged } from "../solid/tagged.ts";
import { bedLevel, CHAMFER, FLOOR, type Layout } from "./layout.ts";
import type { Vec3 } from "./model.ts";
import type { Relief } from "./relief.ts";
import type { SeamFace } from "./seam-face.ts";

/** Half the width of a foot, mm (practice). */
const HALF = 20;
/** A narrower foot steadies nothing: half its width, mm. */
const LEAST_HALF = 5;
/** The mass of a part lies further inside its feet than this, mm. */
const STEADY = 8;
/** Feet are narrower where that would bring them nearer to each other than this share of what a narrow one allows. */
const APART = 0.6;
/** Feet stand out beyond everything else of the back, mm. */
const PROUD = 1;
/** Above the pot's foot the groove of a floor is no higher than this, mm. */
const ROOTED = 4;
/** Seam faces are looked at this far above and below a foot, mm. */
const BESIDE = 4;
/** From a foot to the seam's flange, mm. */
const ROOM = 1;
/** A back leans no more than this from upright, however steep the pull: sine of 30°. */
const MOST_LEAN = 0.5;

/** A part whose pull has a lesser level share is pressed as it stands: sine of 15°. */
const LEAST_LEVEL = Math.sin(Math.PI / 12);

/**
 * Unit direction that points down when a part lies on its back: its pull, or the nearest that leans no
 * more than 30°. Null where the pull is all but upright and the part stands on its foot.
 */
export function backOf(pull: Vec3): Vec3 | null {
  const level = Math.hypot(pull[0], pull[1]);
  if (level < LEAST_LEVEL) return null;
  const rise = Math.min(MOST_LEAN, Math.max(-MOST_LEAN, pull[2]));
  const share = Math.sqrt(1 - rise * rise) / level;
  return [pull[0] * share, pull[1] * share, rise];
}

/**
 * Feet on which a part lies on its back, its clay face up: one at the rim and one at the foot, which
 * end in one plane square to the pull, or to `backOf` it. They root in the middle of the shell and taper at 45°, so that
 * they print without support. None where the part is too narrow for them: it then lies on its flanges.
 *
 * @param relief of the clay
 * @param pull unit, mold frame
 * @param wall the part without them
 * @param sides the seam faces on either side of it
 */
export function backFeet(
  relief: Relief,
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
  const aside = relief.middle[1] * d[0] - relief.middle[0] * d[1];
  const back: Back = { d, aside, far: farthest(wall, down) / level + PROUD, rise: down[2] / level };
  const { foot, height, shelf } = layout;
  const onRim = bedLevel(layout) === height;
  // Only the foot that stands on the bed goes as far as the end of its part.
  const ends = [onRim ? foot + CHAMFER : foot, onRim ? height : height - CHAMFER] as const;
  const room = Math.min(HALF, roomBetween(sides, back, ends, layout));
  const ranges = [1, 0.75, 0.5, 0.25]
    .map((share) => Math.max(LEAST_HALF, share * room))
    .map((width) => ({ width, range: between(relief, back, width, ends) }));
  const spanOf = ({ range }: (typeof ranges)[number]) => range[1] - range[0];
  // As wide as leaves them far enough apart.
  const most = Math.max(...ranges.map(spanOf));
  if (!(most > 0)) return [];
  const {
    width,
    range: [end, top],
  } = ranges.find((one) => spanOf(one) >= APART * most)!;
  const raised = !onRim && end > foot;
  const half = (top - Math.max(0, end)) / 2;
  // As far as the taper takes from the plane to the clay.
  const taperAt = (z: number) => shelf.thick + plane(back, z) - shallowest(relief, back, z);
  const [highest, slope] = onRim ? [height - foot - CHAMFER, 1 - Math.max(0, back.rise)] : [half, 1];
  const reach = Math.min(half, taperAt(top));
  const foots = (zs: readonly number[], less: (z: number) => number) =>
    oneFoot(relief, sides, back, width, zs, layout, call, less);
  const hanging = (from: number) =>
    foots(
      levels(relief.step, Math.max(end, from - reach), from, [
        from - shelf.thick,
        ...(onRim ? [from - CHAMFER] : []),
      ]),
      (z) => (onRim && z > from - CHAMFER ? -CHAMFER : 0) + Math.min(0, z - (from - shelf.thick)),
    );
  const standing = () => {
    const under = onRim ? Math.min(highest, taperAt(end) / slope) : reach;
    const zs = levels(relief.step, end, onRim ? end + under : Math.min(height - half, end + reach), [
      end + CHAMFER,
      end + shelf.thick,
    ]);
    return foots(zs, (z) =>
      !onRim && z < end + CHAMFER ? -CHAMFER : Math.min(0, slope * (end + shelf.thick - z)),
    );
  };
  // What does not stand on the bed hangs on the shell, its underside at 45° unless the part would tip over it.
  const raisedTo = () =>
    Math.max(end, Math.min(top - half, end + reach, steady(wall, down) - STEADY)) + shelf.thick;
  return [hanging(top), raised ? hanging(raisedTo()) : standing()].flatMap((one) => one ?? []);
}

/** The height at which a part that lies on its back has its mass over the table, mm. */
function steady(wall: Mesh, down: Vec3): number {
  const mass = massCentreOf(wall);
  const above = farthest(wall, down) - mass[0] * down[0] - mass[1] * down[1] - mass[2] * down[2];
  return mass[2] + above * down[2];
}

/** The heights between which there is clay behind a foot of some width, as far as these go. */
function between(
  relief: Relief,
  back: Back,
  half: number,
  [foot, height]: readonly [number, number],
): [number, number] {
  const isThere = (z: number) => [-half, 0, half].every((t) => Number.isFinite(clayAt(relief, back, t, z)));
  let low = Math.max(foot, relief.low);
  let high = Math.min(height, relief.high);
  while (low < high && !isThere(low)) low += relief.step;
  while (low < high && !isThere(high)) high -= relief.step;
  return [low, high];
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
function levels(step: number, low: number, high: number, more: readonly number[]): number[] {
  const count = Math.max(1, Math.ceil((high - low) / step));
  const even = Array.from({ length: count + 1 }, (_, i) => low + ((high - low) * i) / count);
  const kept = even.filter((z) => z === low || z === high || more.every((own) => Math.abs(own - z) > 0.2));
  return [...kept, ...more.filter((z) => z > low + 0.2 && z < high - 0.2)].sort((a, b) => a - b);
}

/** How far the clay stands out along the pull on a level, least over the width of a foot. */
function shallowest(relief: Relief, back: Back, z: number): number {
  return Math.min(
    ...[-HALF, 0, HALF].map((t) => clayAt(relief, back, t, z)).filter(Number.isFinite),
    back.far,
  );
}

/** How far the clay stands out along the pull beside a place across it, mm. −∞ where there is none. */
const clayAt = (relief: Relief, { d, aside }: Back, across: number, z: number): number =>
  relief.out(d, across + aside, z);

/** One foot over these levels; `less` is how far it stays behind the plane on each. Null where there is no room. */
function oneFoot(
  relief: Relief,
  sides: readonly SeamFace[],
  back: Back,
  width: number,
  zs: readonly number[],
  layout: Layout,
  call: CallId,
  less: (z: number) => number,
): Tagged | null {
  let half = Math.min(width, roomBetween(sides, back, zs, layout));
  const isBehind = (t: number) => zs.every((z) => Number.isFinite(clayAt(relief, back, t, z)));
  while (half >= LEAST_HALF && !(isBehind(-half) && isBehind(half))) half -= relief.step;
  if (half < LEAST_HALF) return null;
  const count = Math.max(2, Math.ceil((2 * half) / relief.step));
  const ts = Array.from({ length: count + 1 }, (_, k) => -half + (2 * half * k) / count);
  // Rooted half-way into the shell, and beyond the groove of a floor.
  const root = (z: number) =>
    layout.wall / 2 + (z < ROOTED && layout.floor ? FLOOR.tongue + layout.floorGap : 0);
  const inner = zs.map((z) => ts.map((t) => clayAt(relief, back, t, z) + root(z)));
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
      if (row[0].z < zs[0] - BESIDE || row[0].z > zs[zs.length - 1] + BESIDE) continue;
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
