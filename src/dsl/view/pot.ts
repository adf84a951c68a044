import type { Quality } from "../../../shared/engine.ts";
import type { CallId } from "../../../shared/place.ts";
import type { BuiltMold } from "../mold/build.ts";
import type { Grid } from "../mold/grid.ts";
import { erode } from "../mold/shell.ts";
import { Border } from "../solid/border.ts";
import { MeshBuilder } from "../solid/builder.ts";
import { joinChains } from "../solid/strip.ts";
import { withScope } from "../solid/kernel.ts";
import type { Tagged } from "../solid/tagged.ts";
import { tidy } from "../solid/tidy.ts";
import { SURFACE } from "../tolerances.ts";

/** A level ring of the inside: points as they follow each other, and how far around each lies. */
interface Ring {
  z: number;
  points: { x: number; y: number; angle: number }[];
}

const TURN = 2 * Math.PI;
/** Least that is worth seeing of an inside, mm. */
const LEAST_DEPTH = 1;
/** How far the inside may be drawn beside itself while a maker types, mm. */
const COARSE_INSIDE = 1;

/**
 * The clay as it stands in the mold, to be looked at: the cavity with the room inside its slab taken
 * out, down to the base slab. Where
 * there is no such room (solid clay, a slab that fills the form, a mouth that is not one level ring)
 * it is the cavity as it is.
 */
export function potOf({ model, spec, grid, room }: BuiltMold, quality: Quality): Tagged {
  const { vessel } = model;
  if (room?.opening) return hollowed(vessel, room.opening);
  // On a hump the clay is the vessel already.
  if (spec.slab === "solid" || spec.side === "inside" || !grid) return vessel;
  const rings = insideRings(
    grid,
    spec.slab,
    spec.base.slab,
    quality === "typing" ? COARSE_INSIDE : SURFACE.idle,
  );
  if (rings.length < 2 || rings[rings.length - 1].z - rings[0].z < LEAST_DEPTH) return vessel;

  const { positions: p, triangles: t } = vessel.mesh;
  const builder = new MeshBuilder(p.length / 3);
  const vertex = (i: number) => builder.vertex(p[3 * i], p[3 * i + 1], p[3 * i + 2]);
  const mouth = new Border();
  let rim: CallId | undefined;
  for (const { face, call, start, count } of vessel.runs) {
    builder.face(face, call);
    for (let i = 3 * start; i < 3 * (start + count); i += 3) {
      const corners = [vertex(t[i]), vertex(t[i + 1]), vertex(t[i + 2])] as const;
      if (face === "rim") {
        rim = call;
        mouth.triangle(...corners);
      } else builder.triangle(...corners);
    }
  }
  const loops = mouth.loops();
  const top = rings[rings.length - 1];
  if (rim === undefined || loops.length !== 1 || loops[0].some((v) => builder.z(v) !== top.z)) return vessel;

  const vertices = rings.map(({ z, points }) => points.map(({ x, y }) => builder.vertex(x, y, z)));
  builder.face("rim", rim);
  builder.cap([loops[0], [...vertices[vertices.length - 1]].reverse()], true);
  builder.face("inside", spec.call);
  for (let r = 0; r + 1 < rings.length; r++) joinRings(builder, rings, vertices, r);
  builder.cap([vertices[0]], true);
  return builder.finish();
}

/** The clay without the room inside it, as the kernel cuts it. */
function hollowed(vessel: Tagged, opening: Tagged): Tagged {
  return withScope((scope) => tidy(scope.mesh(scope.subtract(scope.solid(vessel), scope.solid(opening)))));
}

/** The wall between ring `r` and the next, seen from the middle. */
function joinRings(
  builder: MeshBuilder,
  rings: readonly Ring[],
  vertices: readonly number[][],
  r: number,
): void {
  const chain = (k: number) => ({
    keys: [...rings[k].points.map(({ angle }) => angle), rings[k].points[0].angle + TURN],
    vertices: [...vertices[k], vertices[k][0]],
  });
  const [low, high] = [chain(r), chain(r + 1)];
  const at = (index: number) => (index < 0 ? high.vertices[~index] : low.vertices[index]);
  joinChains(low.keys, high.keys, (a, b, c) => builder.triangle(at(a), at(c), at(b)));
}

/** Narrower than this, as a radius, the room inside is not drawn, mm. */
const LEAST_ROOM = 0.5;

/** Rings from the base slab's surface to the mouth, as few as keep the inside within `chord`. */
function insideRings(grid: Grid, slab: number, floor: number, chord: number): Ring[] {
  const { rows } = erode(grid, slab);
  const ringAt = (j: number): Ring => {
    const { angles, radii } = rows[j];
    const centre = grid.centres[j];
    const points = Array.from(angles, (angle, i) => ({
      angle,
      x: centre.x + radii[i] * Math.cos(angle),
      y: centre.y + radii[i] * Math.sin(angle),
    }));
    return { z: grid.zs[j], points };
  };
  const hasRoom = (j: number) => rows[j].radii.every((radius) => radius > LEAST_ROOM);
  let first = rows.length;
  while (first > 0 && hasRoom(first - 1) && grid.zs[first - 1] > floor) first--;
  if (first === rows.length) return [];
  const kept = keptRows(grid, rows, first, chord).map((j) => thinned(ringAt(j), chord));
  // The base slab ends between two rows: the lowest ring goes down to it where the slab leaves room.
  const below = first > 0 && hasRoom(first - 1);
  return below && grid.zs[first] - floor > 1e-6 ? [{ ...kept[0], z: floor }, ...kept] : kept;
}

function keptRows(
  grid: Grid,
  rows: readonly { angles: Float64Array; radii: Float64Array }[],
  first: number,
  chord: number,
): number[] {
  const kept = [first];
  const mean = rows.map(({ radii }) => radii.reduce((sum, radius) => sum + radius, 0) / radii.length);
  const extremes = rows.map(({ radii }) => [Math.min(...radii), Math.max(...radii)]);
  for (let j = first + 1; j < rows.length; j++) {
    const last = kept[kept.length - 1];
    const straight = Array.from({ length: j - last - 1 }, (_, k) => last + 1 + k).every((k) => {
      const share = (grid.zs[k] - grid.zs[last]) / (grid.zs[j] - grid.zs[last]);
      const strays = (of: (row: number) => number) =>
        Math.abs(of(k) - (of(last) * (1 - share) + of(j) * share)) > chord;
      return ![
        (row: number) => mean[row],
        (row: number) => extremes[row][0],
        (row: number) => extremes[row][1],
        (row: number) => grid.centres[row].x,
        (row: number) => grid.centres[row].y,
      ].some(strays);
    });
    if (!straight) kept.push(j - 1);
  }
  kept.push(rows.length - 1);
  return [...new Set(kept)];
}

/** The ring without points that lie within `chord` of the line between those that stay. */
function thinned({ z, points }: Ring, chord: number): Ring {
  const kept = [0];
  let last = 0;
  for (let i = 2; i < points.length; i++) {
    if (!between(points, last, i, chord)) {
      last = i - 1;
      kept.push(last);
    }
  }
  kept.push(points.length - 1);
  return { z, points: kept.map((i) => points[i]) };
}

function between(points: Ring["points"], from: number, to: number, chord: number): boolean {
  const [a, b] = [points[from], points[to]];
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const length = Math.hypot(dx, dy);
  if (length === 0) return false;
  for (let k = from + 1; k < to; k++) {
    const away = Math.abs((points[k].x - a.x) * dy - (points[k].y - a.y) * dx) / length;
    if (away > chord) return false;
  }
  return true;
}
