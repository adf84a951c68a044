import type { CallId } from "../../../shared/place.ts";
import { triangulateLoops } from "../solid/cap.ts";
import type { Tagged } from "../solid/tagged.ts";
import type { MeshBuilder } from "../solid/builder.ts";
import type { Vec3 } from "./model.ts";
import type { FacePoint, SeamFace } from "./seam-face.ts";

/** What stands above the plane of a seam face at a key: the peg, or the socket as a solid. */
export interface Inset {
  points: Vec3[];
  triangles: number[];
  /** Where it meets the plane, indices of points in a ring. */
  rim: number[];
  call: CallId;
}

/** The plane stands off the face by this much, mm, so that no vertex lies in it. */
const STAND_OFF = 0.02;
/** Room between an inset and the border of the stretch of face it is set into, mm. */
const ROOM = 0.02;

/** The part of a solid above the plane through `at` square to `axis`; null where it does not cross it once. */
export function insetOf({ mesh, runs }: Tagged, at: Vec3, axis: Vec3): Inset | null {
  const { positions: p, triangles: t } = mesh;
  const point = (v: number): Vec3 => [p[3 * v], p[3 * v + 1], p[3 * v + 2]];
  const heights = Array.from({ length: p.length / 3 }, (_, v) => {
    const [x, y, z] = point(v);
    return (x - at[0]) * axis[0] + (y - at[1]) * axis[1] + (z - at[2]) * axis[2] - STAND_OFF;
  });
  const points: Vec3[] = [];
  const triangles: number[] = [];
  const own = new Map<string, number>();
  const keep = (key: string, make: () => Vec3) => {
    let index = own.get(key);
    if (index === undefined) {
      own.set(key, (index = points.length));
      points.push(make());
    }
    return index;
  };
  const vertex = (v: number) => keep(`${v}`, () => point(v));
  const crossing = (a: number, b: number) =>
    keep(a < b ? `${a} ${b}` : `${b} ${a}`, () => {
      const [from, to] = a < b ? [a, b] : [b, a];
      const share = heights[from] / (heights[from] - heights[to]);
      const [start, end] = [point(from), point(to)];
      return start.map((value, k) => value + share * (end[k] - value)) as Vec3;
    });
  const next = new Map<number, number>();
  for (let f = 0; f < t.length; f += 3) {
    const corners = [t[f], t[f + 1], t[f + 2]];
    const above = corners.filter((v) => heights[v] > 0).length;
    if (above === 0) continue;
    if (above === 3) {
      triangles.push(...corners.map(vertex));
      continue;
    }
    // Turned so that the lone corner comes first.
    const lone = corners.findIndex((v) => heights[v] > 0 === (above === 1));
    const [a, b, c] = [corners[lone], corners[(lone + 1) % 3], corners[(lone + 2) % 3]];
    const ab = crossing(a, b);
    const ca = crossing(c, a);
    if (above === 1) {
      triangles.push(vertex(a), ab, ca);
      next.set(ab, ca);
    } else {
      triangles.push(ab, vertex(b), vertex(c), ab, vertex(c), ca);
      next.set(ca, ab);
    }
  }
  const first = next.keys().next().value;
  if (first === undefined) return null;
  const rim = [first];
  for (let v = next.get(first); v !== undefined && v !== first; v = next.get(v)) {
    rim.push(v);
    if (rim.length > next.size) return null;
  }
  return rim.length === next.size ? { points, triangles, rim, call: runs[0].call } : null;
}

/** A stretch of a seam face, rows `from` to `to` and stations `start` outwards, with what is set into it. */
export interface Stretch {
  from: number;
  to: number;
  start: number;
  insets: { inset: Inset; flat: number[] }[];
}

/**
 * The stretches of a face that its insets take. One that the face has no room for is left out, and one whose rim
 * runs to and fro on a face that bends.
 */
export function stretchesOf(face: SeamFace, insets: readonly Inset[]): Stretch[] {
  const { points } = face;
  const rows = points.length;
  const edge = points[0].length - 1;
  const found = insets.flatMap((inset): Stretch[] => {
    const flat = inset.rim.flatMap((v) => onFace(points, inset.points[v]));
    if (!isSeenFromMiddle(flat)) return [];
    const distances = flat.filter((_, i) => i % 2 === 0);
    const zs = flat.filter((_, i) => i % 2 === 1);
    const [near, far] = [Math.min(...distances) - ROOM, Math.max(...distances) + ROOM];
    const [low, high] = [Math.min(...zs) - ROOM, Math.max(...zs) + ROOM];
    const from = points.findLastIndex((row) => row[0].z <= low);
    const to = points.findIndex((row) => row[0].z >= high);
    if (from < 0 || to < 0) return [];
    const between = points.slice(from, to + 1);
    const start = points[0].findLastIndex((_, s) => between.every((row) => lengthTo(row, s) <= near));
    if (start < 0 || between.some((row) => lengthTo(row, edge) < far)) return [];
    return [{ from, to, start, insets: [{ inset, flat }] }];
  });
  found.sort((a, b) => a.from - b.from);
  const joined: Stretch[] = [];
  for (const one of found) {
    const last = joined.at(-1);
    if (!last || one.from >= last.to) joined.push(one);
    else {
      last.to = Math.min(rows - 1, Math.max(last.to, one.to));
      last.start = Math.min(last.start, one.start);
      last.insets.push(...one.insets);
    }
  }
  return joined;
}

/** Whether a loop of xy pairs goes around the middle of its points without turning back. */
function isSeenFromMiddle(loop: readonly number[]): boolean {
  const count = loop.length / 2;
  let [x, y] = [0, 0];
  for (let i = 0; i < count; i++) {
    x += loop[2 * i] / count;
    y += loop[2 * i + 1] / count;
  }
  let turned = 0;
  for (let i = 0; i < count; i++) {
    const k = (i + 1) % count;
    const [ax, ay, bx, by] = [loop[2 * i] - x, loop[2 * i + 1] - y, loop[2 * k] - x, loop[2 * k + 1] - y];
    turned += Math.sign(ax * by - ay * bx);
  }
  return Math.abs(turned) === count;
}

/** Distance of a station from the cavity edge. */
const lengthTo = (row: readonly FacePoint[], s: number) =>
  Math.hypot(row[s].x - row[0].x, row[s].y - row[0].y);

/** Distance from the cavity edge and height of a point on the face. */
function onFace(points: readonly FacePoint[][], [x, y, z]: Vec3): [number, number] {
  const r = Math.min(
    points.length - 2,
    Math.max(
      0,
      points.findLastIndex((row) => row[0].z <= z),
    ),
  );
  const [low, high] = [points[r], points[r + 1]];
  const share = (z - low[0].z) / (high[0].z - low[0].z);
  const mix = (s: number, axis: "x" | "y") => low[s][axis] * (1 - share) + high[s][axis] * share;
  const last = low.length - 1;
  const [dx, dy] = [mix(last, "x") - mix(0, "x"), mix(last, "y") - mix(0, "y")];
  return [((x - mix(0, "x")) * dx + (y - mix(0, "y")) * dy) / Math.hypot(dx, dy), z];
}

/**
 * Meshes a stretch with its insets. `vertices` are the builder's, [row][station]; `outwards` is
 * whether the insets are pegs, on a face that is seen from the other side, or sockets.
 */
export function meshStretch(
  builder: MeshBuilder,
  stretch: Stretch,
  face: SeamFace,
  vertices: readonly (readonly number[])[],
  outwards: boolean,
  call: CallId,
): void {
  const { from, to, start, insets } = stretch;
  const edge = vertices[0].length - 1;
  const border: [row: number, station: number][] = [];
  for (let s = start; s < edge; s++) border.push([from, s]);
  for (let r = from; r < to; r++) border.push([r, edge]);
  for (let s = edge; s > start; s--) border.push([to, s]);
  for (let r = to; r > from; r--) border.push([r, start]);
  const distinct = border.filter(([r, s], i) => {
    const [nextR, nextS] = border[(i + 1) % border.length];
    return vertices[r][s] !== vertices[nextR][nextS];
  });
  const ids = distinct.map(([r, s]) => vertices[r][s]);
  const loops = [distinct.flatMap(([r, s]) => [lengthTo(face.points[r], s), face.points[r][0].z])];
  for (const { inset, flat } of insets) {
    const own = inset.points.map(([x, y, z]) => builder.vertex(x, y, z));
    const backwards = area(flat) < 0;
    const rim = backwards ? inset.rim : [...inset.rim].reverse();
    const pairs = inset.rim.map((_, i) => [flat[2 * i], flat[2 * i + 1]]);
    loops.push((backwards ? pairs : [...pairs].reverse()).flat());
    ids.push(...rim.map((v) => own[v]));
    builder.face("key", inset.call);
    for (let i = 0; i < inset.triangles.length; i += 3) {
      const [a, b, c] = [0, 1, 2].map((k) => own[inset.triangles[i + k]]);
      if (outwards) builder.triangle(a, b, c);
      else builder.triangle(a, c, b);
    }
  }
  builder.face("seam", call);
  const triangles = triangulateLoops(loops);
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [ids[triangles[i]], ids[triangles[i + 1]], ids[triangles[i + 2]]];
    if (outwards) builder.triangle(a, c, b);
    else builder.triangle(a, b, c);
  }
}

/** Twice the area of a loop of xy pairs, positive counter-clockwise. */
function area(loop: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < loop.length; i += 2) {
    const k = (i + 2) % loop.length;
    sum += loop[i] * loop[k + 1] - loop[k] * loop[i + 1];
  }
  return sum;
}
