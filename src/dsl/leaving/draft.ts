import { Groups, placesOf, pointOf, type Facets } from "./facets.ts";
import { asinDeg, dot, sinDeg, type Vec3 } from "./vector.ts";

/** A patch shorter than this along the pull comes off whatever its draft, mm. */
export const SHORT_PATCH = 6;

export interface DraftPatch {
  /** Least draft in the patch, degrees. */
  draftDeg: number;
  /** Where it is least, mold frame, mm. */
  at: Vec3;
  /** Extent along the pull, mm. */
  lengthMm: number;
  areaMm2: number;
  facets: number[];
}

/**
 * Least draft, degrees, of the clay along `m` (unit): asin of the least n·m over the surface normals.
 * Negative where clay faces against the pull; 90 without clay.
 */
export function leastDraft(normals: Float64Array, m: Vec3): number {
  let least = 1;
  for (let i = 0; i < normals.length; i += 3)
    least = Math.min(least, normals[i] * m[0] + normals[i + 1] * m[1] + normals[i + 2] * m[2]);
  return asinDeg(least);
}

/**
 * Connected patches of clay with less draft than `limitDeg` along `m` (unit), steepest first, of
 * those at least `shortest` mm (default 6) long measured along the pull. The edge of a patch is where
 * the interpolated normal has the limit, so a coarse mesh does not widen it: a round pot in two
 * parts has no draft in a hair-wide strip at its seams, and comes off.
 */
export function lowDraft(
  facets: Facets,
  m: Vec3,
  limitDeg: number,
  shortest: number = SHORT_PATCH,
): DraftPatch[] {
  const limit = sinDeg(limitDeg);
  const { positions, normals, triangles: t } = facets;
  const count = positions.length / 3;
  const sines = new Float64Array(count);
  const heights = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    sines[i] = dot(pointOf(normals, i), m);
    heights[i] = dot(pointOf(positions, i), m);
  }
  const low: number[] = [];
  for (let f = 0; f < t.length / 3; f++)
    if (Math.min(sines[t[3 * f]], sines[t[3 * f + 1]], sines[t[3 * f + 2]]) < limit) low.push(f);
  const patches = new Map<number, DraftPatch & { from: number; to: number }>();
  const groups = joined(low, facets, sines, limit);
  low.forEach((f, i) => {
    const share = shareBelow(facets, f, sines, heights, limit);
    const worst = [0, 1, 2].map((k) => t[3 * f + k]).reduce((a, b) => (sines[b] < sines[a] ? b : a));
    const draftDeg = asinDeg(sines[worst]);
    const group = groups.of(i);
    let patch = patches.get(group);
    if (patch === undefined) {
      patch = {
        draftDeg: 91,
        at: [0, 0, 0],
        lengthMm: 0,
        areaMm2: 0,
        facets: [],
        from: Infinity,
        to: -Infinity,
      };
      patches.set(group, patch);
    }
    if (draftDeg < patch.draftDeg) {
      patch.draftDeg = draftDeg;
      patch.at = pointOf(positions, worst);
    }
    patch.from = Math.min(patch.from, share.from);
    patch.to = Math.max(patch.to, share.to);
    patch.areaMm2 += share.area;
    patch.facets.push(f);
  });
  return [...patches.values()]
    .map(({ from, to, ...patch }) => ({ ...patch, lengthMm: to - from }))
    .filter((patch) => patch.lengthMm >= shortest)
    .sort((a, b) => a.draftDeg - b.draftDeg);
}

/** Facets joined where both are under the limit on the side that they share, in part or whole. */
function joined(low: number[], facets: Facets, sines: Float64Array, limit: number): Groups {
  const places = placesOf(facets);
  const groups = new Groups(low.length);
  const sides = new Map<number, number>();
  const { triangles: t } = facets;
  low.forEach((f, i) => {
    for (let k = 0; k < 3; k++) {
      const [a, b] = [t[3 * f + k], t[3 * f + ((k + 1) % 3)]];
      if (sines[a] >= limit && sines[b] >= limit) continue;
      const [p, q] = [places[a], places[b]];
      const side = Math.min(p, q) * places.length + Math.max(p, q);
      const other = sides.get(side);
      if (other === undefined) sides.set(side, i);
      else groups.join(other, i);
    }
  });
  return groups;
}

/** The part of a facet that lies under the limit: its extent along the pull and its area. */
function shareBelow(
  { positions, triangles: t }: Facets,
  f: number,
  sines: Float64Array,
  heights: Float64Array,
  limit: number,
): { from: number; to: number; area: number } {
  const corners = [t[3 * f], t[3 * f + 1], t[3 * f + 2]];
  const points: Vec3[] = [];
  let [from, to] = [Infinity, -Infinity];
  const add = (at: Vec3, height: number) => {
    points.push(at);
    from = Math.min(from, height);
    to = Math.max(to, height);
  };
  corners.forEach((a, k) => {
    const b = corners[(k + 1) % 3];
    if (sines[a] < limit) add(pointOf(positions, a), heights[a]);
    if (sines[a] < limit !== sines[b] < limit) {
      const part = (limit - sines[a]) / (sines[b] - sines[a]);
      const [p, q] = [pointOf(positions, a), pointOf(positions, b)];
      add(
        [p[0] + part * (q[0] - p[0]), p[1] + part * (q[1] - p[1]), p[2] + part * (q[2] - p[2])],
        heights[a] + part * (heights[b] - heights[a]),
      );
    }
  });
  let area = 0;
  for (let k = 1; k + 1 < points.length; k++) {
    const [o, p, q] = [points[0], points[k], points[k + 1]];
    const u = [p[0] - o[0], p[1] - o[1], p[2] - o[2]];
    const v = [q[0] - o[0], q[1] - o[1], q[2] - o[2]];
    area += Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2;
  }
  return { from, to, area };
}
