import type { Finding, Fix } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import { handRoom, reachThrough } from "../mold/press.ts";
import { boundsOf } from "../solid/measure.ts";
import { erode } from "../mold/shell.ts";

/** A joint that no way in covers. */
interface Beyond {
  joint: "seams" | "base";
  /** mm below the nearest way in. */
  depth: number;
  /** How far what fits through that way in reaches, mm, and how wide it is. */
  reach: number;
  opening: number;
  z: number;
}

/**
 * Joints of the closed mold that no hand gets to: `reach-narrow` where the way in lets only fingers
 * or a stick through, `seam-unreachable` where a hand gets in and is too short. Seams pressed part
 * by part are joined before, and a base that is put in last is reached from below.
 */
export function reach(built: BuiltMold): Finding[] {
  const { spec, model } = built;
  const beyond = beyondReach(built);
  if (!beyond) return [];
  const { joint, depth, opening, z } = beyond;
  const narrow = opening < handRoom(spec.hand);
  const code = narrow ? "reach-narrow" : "seam-unreachable";
  const target =
    joint === "base"
      ? { call: spec.call, argument: 1, path: ["base"] }
      : { call: spec.call, argument: 1, path: ["press"] };
  const fix: Fix =
    joint === "base"
      ? {
          title: "fix-base-last",
          args: {},
          change: { kind: "setOption", call: spec.call, argument: 1, path: ["base"], value: "open" },
        }
      : {
          title: "fix-press-parts",
          args: {},
          change: { kind: "setOption", call: spec.call, argument: 1, path: ["press"], value: "parts" },
        };
  return [
    {
      code,
      severity: "warning",
      ...(joint === "base" ? { variant: "base" } : {}),
      args: {
        depth: Math.round(depth),
        opening: Math.round(opening),
        reach: Math.round(beyond.reach),
        z: Math.round(z),
      },
      target,
      mold: model.name,
      value: Math.round(depth),
      limit: Math.round(beyond.reach),
      unit: "mm",
      at: placeAt(built, z),
      fixes: [fix],
    },
  ];
}

/** A place on the clay at a height. */
function placeAt({ grid, model, clay }: BuiltMold, z: number): [number, number, number] {
  const nearest = (zs: ArrayLike<number>) => {
    let best = 0;
    for (let j = 1; j < zs.length; j++) if (Math.abs(zs[j] - z) < Math.abs(zs[best] - z)) best = j;
    return best;
  };
  if (grid) {
    const row = nearest(grid.zs);
    return [grid.x[row][0], grid.y[row][0], z];
  }
  const curve = model.seams.flatMap((seam) => seam.curve);
  if (curve.length > 0) {
    const [x, y] = curve[nearest(curve.map((place) => place[2]))];
    return [x, y, z];
  }
  // A mold of one piece has no seam to show it on.
  const { positions } = clay.mesh;
  const v = 3 * nearest(positions.filter((_, i) => i % 3 === 2));
  return [positions[v], positions[v + 1], z];
}

/** Levels of the room inside the slab with its width on each, and how high the clay is; null for solid clay. */
function widthsOf({ spec, grid, room, clay, layout }: BuiltMold): Widths | null {
  if (spec.slab === "solid") return null;
  if (grid) {
    const widths = erode(grid, spec.slab).rows.map(
      (row) => 2 * row.radii.reduce((a, b) => Math.min(a, b), Infinity),
    );
    return { zs: grid.zs, widths, low: 0, high: grid.form.height, openBelow: true };
  }
  if (!room?.opening) return null;
  const { min, max } = boundsOf(clay.mesh);
  // Where the walls close under it, nobody gets in from below.
  const openBelow = layout.foot > min[2] - 1e-3;
  return { zs: room.zs, widths: room.widths, low: min[2], high: max[2], openBelow };
}

interface Widths {
  zs: readonly number[];
  widths: readonly number[];
  low: number;
  high: number;
  openBelow: boolean;
}

/** The joint that lies furthest beyond every way in; null where all are reached. */
export function beyondReach(built: BuiltMold): Beyond | null {
  const { spec, model } = built;
  // Clay is laid over a hump from outside.
  if (spec.side === "inside") return null;
  const inside = widthsOf(built);
  if (!inside) return null;
  const { zs, widths, low, high, openBelow } = inside;
  const fromTop = [...widths];
  for (let j = widths.length - 2; j >= 0; j--) fromTop[j] = Math.min(fromTop[j], fromTop[j + 1]);
  const fromFoot = [...widths];
  for (let j = 1; j < widths.length; j++) fromFoot[j] = Math.min(fromFoot[j], fromFoot[j - 1]);
  const throughFoot = spec.base.kind === "open" && openBelow;
  const found: Beyond[] = [];
  const look = (j: number, joint: Beyond["joint"]) => {
    const z = zs[j];
    const ways = [{ depth: high - z, opening: fromTop[j] }];
    if (throughFoot) ways.push({ depth: z - low, opening: fromFoot[j] });
    const known = ways.map((way) => ({ ...way, reach: reachThrough(way.opening, spec.hand) }));
    if (known.some((way) => way.reach >= way.depth)) return;
    const nearest = known.reduce((a, b) => (b.depth - b.reach < a.depth - a.reach ? b : a));
    found.push({ ...nearest, joint, z });
  };
  if (model.press === "closed" && spec.seams.kind === "seams") zs.forEach((_, j) => look(j, "seams"));
  if (spec.base.kind === "floor" || spec.base.kind === "closed") {
    const j = zs.findIndex((z) => z >= Math.min(low + spec.base.slab, high));
    look(j, "base");
  }
  // What a maker can do about the base comes first: it is the deepest, and seams may be pressed apart.
  return found.reduce<Beyond | null>(
    (worst, one) => (!worst || one.depth - one.reach > worst.depth - worst.reach + 1e-6 ? one : worst),
    null,
  );
}
