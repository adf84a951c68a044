import type { DimensionView } from "../../../shared/engine.ts";
import type { Vec3 } from "../mold/model.ts";
import { boundsOf } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
import { widestPair, type Point } from "./widest.ts";

/** A width is worth a line of its own where it differs from foot and rim by more, mm wet. */
const OTHER = 1;
/** A level section narrower than this is no foot and no rim, mm. */
const LEAST = 1;
const MOST_LEVELS = 160;
/** Points of one level are within this, mm. */
const LEVEL = 1e-6;

interface Width {
  z: number;
  from: Point;
  to: Point;
  width: number;
}

/**
 * The lengths of a clay solid that a maker measures: its height; how wide foot and rim are where
 * they are widest; the widest and the narrowest level where they are neither. Widths end on the
 * clay and are the full extent along their line. The height stands at the outermost point of foot
 * or rim; its other end is straight above or below, in the plane of the other.
 *
 * @param clay wet, mold frame, mm
 * @param scale wet length over fired length
 */
export function dimensionsOf(clay: Mesh, scale: number): DimensionView[] {
  const { min, max } = boundsOf(clay);
  const widths = widthsByLevel(clay, levelsOf(clay, min[2], max[2]));
  const view = (what: DimensionView["what"], from: Vec3, to: Vec3): DimensionView => {
    const wet = Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
    return { what, from, to, wet, fired: wet / scale };
  };
  const across = (what: DimensionView["what"], { from, to, z }: Width) =>
    view(what, [from.x, from.y, z], [to.x, to.y, z]);

  const atEnd = (z: number) =>
    widths.find((one) => Math.abs(one.z - z) <= LEVEL && one.width > LEAST) ?? null;
  const foot = atEnd(min[2]);
  const rim = atEnd(max[2]);
  const ends = [foot, rim].filter((one) => one !== null);
  const widest = widths.reduce<Width | null>((a, b) => (a && a.width >= b.width ? a : b), null);
  const narrowest = widths.reduce<Width | null>((a, b) => (a && a.width <= b.width ? a : b), null);

  const dimensions: DimensionView[] = [];
  const outer = ends.reduce<Width | null>((a, b) => (a && a.width >= b.width ? a : b), null) ?? widest;
  if (outer && max[2] - min[2] > LEVEL) {
    const { x, y } = outer.to;
    dimensions.push(view("height", [x, y, min[2]], [x, y, max[2]]));
  }
  if (foot) dimensions.push(across("foot", foot));
  if (rim) dimensions.push(across("rim", rim));
  if (widest && ends.every((end) => widest.width > end.width + OTHER))
    dimensions.push(across("widest", widest));
  if (narrowest && ends.length > 0 && ends.every((end) => narrowest.width < end.width - OTHER))
    dimensions.push(across("narrowest", narrowest));
  return dimensions;
}

/** The heights of the mesh's vertices, thinned out evenly where there are many. */
function levelsOf({ positions }: Mesh, low: number, high: number): number[] {
  const heights = new Set<number>();
  for (let i = 2; i < positions.length; i += 3) heights.add(positions[i]);
  const all = [...heights].sort((a, b) => a - b);
  if (all.length <= MOST_LEVELS) return all;
  return Array.from({ length: MOST_LEVELS }, (_, i) => low + ((high - low) * i) / (MOST_LEVELS - 1));
}

function widthsByLevel({ positions: p, triangles: t }: Mesh, levels: readonly number[]): Width[] {
  const points: Point[][] = levels.map(() => []);
  const firstFrom = (z: number) => {
    let low = 0;
    let high = levels.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (levels[middle] < z) low = middle + 1;
      else high = middle;
    }
    return low;
  };
  const edge = (a: number, b: number) => {
    const [za, zb] = [p[3 * a + 2], p[3 * b + 2]];
    // Each edge is met twice, once from each side; upwards is enough.
    if (za > zb) return;
    for (let i = firstFrom(za - LEVEL); i < levels.length && levels[i] <= zb + LEVEL; i++) {
      const share = zb - za <= LEVEL ? 0 : Math.min(1, Math.max(0, (levels[i] - za) / (zb - za)));
      points[i].push({
        x: p[3 * a] + share * (p[3 * b] - p[3 * a]),
        y: p[3 * a + 1] + share * (p[3 * b + 1] - p[3 * a + 1]),
      });
    }
  };
  for (let f = 0; f < t.length; f += 3) {
    edge(t[f], t[f + 1]);
    edge(t[f + 1], t[f + 2]);
    edge(t[f + 2], t[f]);
  }
  return levels.flatMap((z, i) => {
    const pair = widestPair(points[i]);
    return pair ? [{ z, ...pair }] : [];
  });
}
