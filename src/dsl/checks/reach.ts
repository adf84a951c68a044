import type { Finding, Fix } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import { handRoom, reachThrough } from "../mold/press.ts";
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
  const { spec, model, grid } = built;
  const beyond = beyondReach(built);
  if (!beyond || !grid) return [];
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
  const row = grid.zs.reduce(
    (best, own, j) => (Math.abs(own - z) < Math.abs(grid.zs[best] - z) ? j : best),
    0,
  );
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
      at: [grid.x[row][0], grid.y[row][0], z],
      fixes: [fix],
    },
  ];
}

/** The joint that lies furthest beyond every way in; null where all are reached. */
export function beyondReach({ spec, model, grid }: BuiltMold): Beyond | null {
  // Clay is laid over a hump from outside.
  if (!grid || spec.slab === "solid" || spec.side === "inside") return null;
  const { zs } = grid;
  const { height } = grid.form;
  const widths = erode(grid, spec.slab).rows.map(
    (row) => 2 * row.radii.reduce((a, b) => Math.min(a, b), Infinity),
  );
  const fromTop = [...widths];
  for (let j = widths.length - 2; j >= 0; j--) fromTop[j] = Math.min(fromTop[j], fromTop[j + 1]);
  const fromFoot = [...widths];
  for (let j = 1; j < widths.length; j++) fromFoot[j] = Math.min(fromFoot[j], fromFoot[j - 1]);
  const throughFoot = spec.base.kind === "open";
  const found: Beyond[] = [];
  const look = (j: number, joint: Beyond["joint"]) => {
    const z = zs[j];
    const ways = [{ depth: height - z, opening: fromTop[j] }];
    if (throughFoot) ways.push({ depth: z, opening: fromFoot[j] });
    const known = ways.map((way) => ({ ...way, reach: reachThrough(way.opening, spec.hand) }));
    if (known.some((way) => way.reach >= way.depth)) return;
    const nearest = known.reduce((a, b) => (b.depth - b.reach < a.depth - a.reach ? b : a));
    found.push({ ...nearest, joint, z });
  };
  if (model.press === "closed" && spec.seams.kind === "seams") zs.forEach((_, j) => look(j, "seams"));
  if (spec.base.kind === "floor" || spec.base.kind === "closed") {
    const j = zs.findIndex((z) => z >= Math.min(spec.base.slab, height));
    look(j, "base");
  }
  // What a maker can do about the base comes first: it is the deepest, and seams may be pressed apart.
  return found.reduce<Beyond | null>(
    (worst, one) => (!worst || one.depth - one.reach > worst.depth - worst.reach + 1e-6 ? one : worst),
    null,
  );
}
