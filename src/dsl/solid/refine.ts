import type { Mesh } from "./mesh.ts";
import type { OffsetPoints } from "./offset-points.ts";

/**
 * A chord over an arc of angle θ sags by θ/8 of its length, and one over a corner that turns by θ by θ/4: an
 * edge is looked at where θ times its length is this many times as much as it may sag.
 */
const TURN = 4;

/** Each round leaves a quarter of what an edge sags; the last ones meet only what dividing others has left. */
const ROUNDS = 3;

/**
 * A surface at a distance from a mesh with its edges halved where their middle is further than `sag`, mm,
 * from where it belongs; the new corners are put there. An edge is looked at only where the surface turns
 * along it.
 */
export function refined({ positions, triangles }: Mesh, points: OffsetPoints, sag: number): Mesh {
  const p = Array.from(positions);
  let t: ArrayLike<number> = triangles;
  for (let round = 0; round < ROUNDS; round++) {
    const middles = middlesOf(p, t, points, sag);
    if (middles.size === 0) break;
    t = divided(p, t, middles);
  }
  return { positions: Float64Array.from(p), triangles: Uint32Array.from(t) };
}

/** A new corner for each edge that is to be halved, by the edge. */
function middlesOf(
  p: number[],
  t: ArrayLike<number>,
  points: OffsetPoints,
  sag: number,
): Map<number, number> {
  const { normals: n, triangles: near } = points;
  const middles = new Map<number, number>();
  const halve = (a: number, b: number, key: number, least: number) => {
    const middle = p.length / 3;
    for (let axis = 0; axis < 3; axis++) {
      p.push((p[3 * a + axis] + p[3 * b + axis]) / 2);
      n.push(0);
    }
    near.push(-1);
    const most = Math.sqrt(between(p, a, b)) / 2;
    if (points.settle(middle, p, [near[a], near[b]], most) >= least) {
      middles.set(key, middle);
      return;
    }
    p.length -= 3;
    n.length -= 3;
    near.length -= 1;
  };
  // The other triangle of an edge has it the other way round.
  const seen = new Set<number>();
  for (let i = 0; i < t.length; i++) {
    const [a, b] = [t[i], t[i % 3 === 2 ? i - 2 : i + 1]];
    if (near[a] < 0 || near[b] < 0 || between(p, a, b) * between(n, a, b) < (TURN * sag) ** 2) continue;
    const key = keyOf(a, b);
    if (seen.has(key)) continue;
    seen.add(key);
    halve(a, b, key, sag);
  }
  // A long edge that bends to and fro may have its middle in place: it goes with the shorter ones beside it.
  for (let i = 0; i < t.length; i += 3) {
    const corners = [t[i], t[i + 1], t[i + 2]];
    const keys = corners.map((corner, e) => keyOf(corner, corners[(e + 1) % 3]));
    if (!keys.some((key) => middles.has(key))) continue;
    const lengths = corners.map((corner, e) => between(p, corner, corners[(e + 1) % 3]));
    const longest = lengths.indexOf(Math.max(...lengths));
    const [a, b] = [corners[longest], corners[(longest + 1) % 3]];
    if (near[a] >= 0 && near[b] >= 0 && !middles.has(keys[longest])) halve(a, b, keys[longest], 0);
  }
  return middles;
}

/** More corners than any mesh here has. */
const MANY = 2 ** 26;

const keyOf = (a: number, b: number): number => Math.min(a, b) * MANY + Math.max(a, b);

/**
 * Each triangle in two, three or four, as many of its edges have a corner in their middle; what is left
 * with four corners along the shorter diagonal.
 */
function divided(p: readonly number[], t: ArrayLike<number>, middles: ReadonlyMap<number, number>): number[] {
  const made: number[] = [];
  for (let i = 0; i < t.length; i += 3) {
    const corners = [t[i], t[i + 1], t[i + 2]];
    const cut = corners.map((corner, e) => middles.get(keyOf(corner, corners[(e + 1) % 3])) ?? -1);
    const count = cut.filter((m) => m >= 0).length;
    // Turned so that what is divided comes first.
    const first = count === 1 ? cut.findIndex((m) => m >= 0) : (cut.findIndex((m) => m < 0) + 1) % 3;
    const [a, b, c] = [0, 1, 2].map((e) => corners[(first + e) % 3]);
    const [ab, bc, ca] = [0, 1, 2].map((e) => cut[(first + e) % 3]);
    if (count === 0) made.push(a, b, c);
    else if (count === 1) made.push(a, ab, c, ab, b, c);
    else if (count === 2) {
      made.push(ab, b, bc);
      if (between(p, a, bc) < between(p, ab, c)) made.push(a, ab, bc, a, bc, c);
      else made.push(a, ab, c, ab, bc, c);
    } else made.push(a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca);
  }
  return made;
}

/** Square of the distance of two corners. */
function between(p: readonly number[], a: number, b: number): number {
  return (p[3 * a] - p[3 * b]) ** 2 + (p[3 * a + 1] - p[3 * b + 1]) ** 2 + (p[3 * a + 2] - p[3 * b + 2]) ** 2;
}
