import { createHash } from "node:crypto";
import type { MoldSpec } from "../kit/mold.ts";
import { leastDraft } from "../leaving/draft.ts";
import { FacingArea } from "../leaving/facing-area.ts";
import type { Facets } from "../leaving/facets.ts";
import { bestPull } from "../leaving/pull.ts";
import { asinDeg } from "../leaving/vector.ts";
import { withScope } from "../solid/kernel.ts";
import type { Mesh } from "../solid/mesh.ts";
import { SURFACE } from "../tolerances.ts";
import { evenAngles, flatSeams, lowestSection, sectorsOf, type LowestSection } from "./free-cut.ts";
import { freePiece, standOf, withoutEdges } from "./free-pieces.ts";
import { freeShape } from "./free-shape.ts";
import type { Vec3 } from "./model.ts";
import { openPieces } from "./open-pieces.ts";
import { clayScale } from "./scale.ts";
import { middleOf, sectorFacets, spanOf } from "./sector-facets.ts";

/** Undercut areas that differ by less are equal, mm². */
const SAME_AREA = 1;
/** Drafts that differ by less are equal, degrees. */
const SAME_DRAFT = 0.05;
/** Places for the first seam that are looked at, degrees apart, and steps in which the best are moved. */
const PLACES = 6;
const STEPS = [2, 0.5];
/** So many places are moved, and so many opened with rays through the clay. */
const MOVED = 3;
const OPENED = 3;
const DEGREE = Math.PI / 180;

/** What is cut: the clay that walls touch, coarse, so that all qualities find the same seams. */
interface Cutting {
  facets: Facets;
  clay: Mesh;
  lowest: LowestSection;
  stand: Vec3 | null;
}

interface Judged {
  angles: readonly number[];
  /** Of the first seam, degrees from the section's own axis. */
  place: number;
  area: number;
  draftDeg: number;
}

const found = new Map<string, readonly number[]>();
/** Bodies whose best seams are remembered. */
const REMEMBERED = 16;

/**
 * Angles of the seams that leave the least undercut area, then the largest least draft: even places
 * around the body are compared by the clay that faces each part, the best of them moved a little and
 * then opened with rays through the clay. Places are counted from the long axis of the lowest section,
 * so that a body turned has its seams turned. Rising, radians.
 */
export function bestAngles(spec: MoldSpec): readonly number[] {
  const cutting = cuttingOf(spec);
  const hash = createHash("sha256");
  for (const values of [cutting.facets.positions, cutting.facets.normals, cutting.facets.triangles])
    hash.update(values);
  const { parts, pull } = spec.seams;
  const key = JSON.stringify([
    hash.digest("hex"),
    parts,
    pull,
    spec.base.kind,
    cutting.stand,
    spec.keys,
    spec.limits.draft,
  ]);
  let angles = found.get(key);
  if (!angles) {
    angles = search(cutting, spec);
    if (found.size >= REMEMBERED) found.delete(found.keys().next().value!);
    found.set(key, angles);
  }
  return angles;
}

function cuttingOf(spec: MoldSpec): Cutting {
  return withScope((scope) => {
    const { cavity } = clayScale(spec.body);
    const shape = freeShape(scope, spec.body, cavity, SURFACE.typing, RUN_ON, {
      foot: spec.base.kind !== "none",
    });
    const clay = shape.clay;
    return {
      facets: withoutEdges(scope.facets(clay, "cavity"), shape),
      clay: scope.mesh(clay).mesh,
      lowest: lowestSection(scope, clay, spec, cavity),
      stand: standOf(spec, shape),
    };
  });
}

/** How far the body runs on through its openings here, mm. */
const RUN_ON = 5;

function search(cutting: Cutting, spec: MoldSpec): readonly number[] {
  const { parts } = spec.seams;
  const judge = judgeOf(cutting, spec);
  const axis = longAxis(cutting.lowest);
  const at = (place: number): Judged => {
    const angles = evenAngles(axis + place * DEGREE, parts);
    return { angles, place, ...judge(angles) };
  };
  const places = Array.from({ length: Math.ceil(360 / parts / PLACES) }, (_, i) => at(i * PLACES));
  const moved = ranked(places)
    .slice(0, MOVED)
    .map((start) => {
      let best = start;
      for (const step of STEPS)
        for (const side of [-1, 1])
          for (
            let next = at(best.place + side * step);
            isBetter(next, best);
            next = at(best.place + side * step)
          )
            best = next;
      return best;
    });
  const few = ranked([
    ...new Map([...moved, ...ranked(places).slice(0, 1)].map((one) => [one.place, one])).values(),
  ]);
  let best: (Judged & { held: number }) | null = null;
  for (const one of few.slice(0, OPENED)) {
    // An undercut is never less than what faces the wrong way.
    if (best && best.held === 0 && one.area > best.area + SAME_AREA) break;
    const opened = { ...one, ...openedAt(one.angles, cutting, spec) };
    if (!best || opened.held < best.held || (opened.held === best.held && isBetter(opened, best)))
      best = opened;
    if (best.held === 0 && best.area <= SAME_AREA) break;
  }
  return best!.angles;
}

/** Walls that clasp a floor's tongue slide off it level, or nearly so. */
const isLevel = ({ seams, base }: MoldSpec): boolean => seams.pull === "level" || base.kind === "floor";

/** Undercut area and least draft as the mold would really be opened. */
function openedAt(angles: readonly number[], { facets, clay, lowest, stand }: Cutting, spec: MoldSpec) {
  const seams = flatSeams(angles, lowest);
  const pieces = sectorsOf(angles, lowest).map((sector, i) =>
    freePiece(seams[i].hollow, sectorFacets(facets, sector), i, seams, sector, null),
  );
  const { parts } = openPieces(pieces, clay, stand, spec, isLevel(spec));
  const all = [...parts.values()];
  return {
    area: all.reduce((sum, { undercutMm2 }) => sum + undercutMm2, 0),
    draftDeg: Math.min(...all.map(({ draftDeg }) => draftDeg)),
    held: all.filter(({ heldBy }) => heldBy.length > 0).length,
  };
}

/** Directions about the middle of a part that are tried where none has draft, degrees aside and up. */
const ASIDE = [0, -15, 15, -30, 30, -45, 45];
const RISES = [0, 15, 30, 50];

/** Clay that faces the wrong way and least draft of seams, each part alone. */
function judgeOf({ facets, lowest, stand }: Cutting, spec: MoldSpec) {
  const { positions: p, normals: n, triangles: t } = facets;
  const { centre } = lowest;
  const turn = 2 * Math.PI;
  const round = Float64Array.from({ length: t.length / 3 }, (_, f) => {
    const [x, y] = [0, 1].map(
      (axis) => (p[3 * t[3 * f] + axis] + p[3 * t[3 * f + 1] + axis] + p[3 * t[3 * f + 2] + axis]) / 3,
    );
    return Math.atan2(y - centre.y, x - centre.x);
  });
  const level = isLevel(spec);
  return (angles: readonly number[]): { area: number; draftDeg: number } => {
    let area = 0;
    let draftDeg = Infinity;
    for (const sector of sectorsOf(angles, lowest)) {
      const span = spanOf(sector);
      const own: number[] = [];
      for (let f = 0; f < round.length; f++) {
        const gone = round[f] - sector.from - turn * Math.floor((round[f] - sector.from) / turn);
        if (gone < span) own.push(t[3 * f], t[3 * f + 1], t[3 * f + 2]);
      }
      if (own.length === 0) return { area: Infinity, draftDeg: -90 };
      const normals = new Float64Array(3 * own.length);
      own.forEach((v, i) => normals.set(n.subarray(3 * v, 3 * v + 3), 3 * i));
      const { t: most } = bestPull({ clay: normals, slides: Float64Array.from(stand ?? []), level });
      if (most > 0) {
        draftDeg = Math.min(draftDeg, asinDeg(most));
        continue;
      }
      const facing = new FacingArea({ positions: p, normals: n, triangles: Uint32Array.from(own) });
      const middle = middleOf(sector);
      let least = Infinity;
      let draft = -90;
      for (const rise of level || !stand ? [0] : RISES)
        for (const aside of ASIDE) {
          const angle = middle + aside * DEGREE;
          const [cos, sin] = [Math.cos(rise * DEGREE), Math.sin(rise * DEGREE)];
          const m: Vec3 = [cos * Math.cos(angle), cos * Math.sin(angle), sin * (stand?.[2] ?? 1)];
          const wrong = facing.along(m).area;
          if (wrong >= least - SAME_AREA) continue;
          least = wrong;
          draft = leastDraft(normals, m);
        }
      area += least;
      draftDeg = Math.min(draftDeg, draft);
    }
    return { area, draftDeg };
  };
}

function isBetter(a: Judged, b: Judged): boolean {
  if (Math.abs(a.area - b.area) > SAME_AREA) return a.area < b.area;
  return a.draftDeg > b.draftDeg + SAME_DRAFT;
}

/** Best first; among equals the first around the body. */
function ranked(all: readonly Judged[]): Judged[] {
  const left = [...all].sort((a, b) => a.place - b.place);
  const order: Judged[] = [];
  while (left.length > 0) {
    const best = left.reduce((a, b) => (isBetter(b, a) ? b : a));
    order.push(best);
    left.splice(left.indexOf(best), 1);
  }
  return order;
}

/** Bearing of the longest axis of a section through its middle, by its second moments, radians; 0 where it has none. */
function longAxis({ loops }: LowestSection): number {
  let [area, mx, my, xx, yy, xy] = [0, 0, 0, 0, 0, 0];
  for (const loop of loops)
    loop.forEach(([ax, ay], i) => {
      const [bx, by] = loop[(i + 1) % loop.length];
      const cross = ax * by - bx * ay;
      area += cross / 2;
      mx += (cross * (ax + bx)) / 6;
      my += (cross * (ay + by)) / 6;
      xx += (cross * (ax * ax + ax * bx + bx * bx)) / 12;
      yy += (cross * (ay * ay + ay * by + by * by)) / 12;
      xy += (cross * (2 * ax * ay + ax * by + bx * ay + 2 * bx * by)) / 24;
    });
  const [sx, sy] = [xx - (mx * mx) / area, yy - (my * my) / area];
  const mixed = xy - (mx * my) / area;
  if (Math.hypot(sx - sy, 2 * mixed) < ROUND * (sx + sy)) return 0;
  return Math.atan2(2 * mixed, sx - sy) / 2;
}

/** Moments that differ by less than this fraction have no axis. */
const ROUND = 1e-3;
