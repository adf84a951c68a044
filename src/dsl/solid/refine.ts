import { edgeKey } from "./edge-key.ts";
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
  const p: number[] = [];
  for (let i = 0; i < positions.length; i++) p.push(positions[i]);
  let t: ArrayLike<number> = triangles;
  for (let round = 0; round < ROUNDS; round++) {
    const middles = new Middles(p.length / 3);
    findMiddles(middles, p, t, points, sag);
    if (middles.none) break;
    t = divided(p, t, middles);
  }
  return { positions: Float64Array.from(p), triangles: Uint32Array.from(t) };
}

/** The new corners in the middle of edges. */
class Middles {
  readonly #known = new Map<number, number>();
  /** Corners at which an edge with a middle ends: at most others nothing is looked up. */
  readonly #ends: Uint8Array;

  constructor(corners: number) {
    this.#ends = new Uint8Array(corners);
  }

  get none(): boolean {
    return this.#known.size === 0;
  }

  set(a: number, b: number, middle: number): void {
    this.#ends[a] = this.#ends[b] = 1;
    this.#known.set(edgeKey(a, b), middle);
  }

  /** −1 where that edge has none. */
  of(a: number, b: number): number {
    return this.#ends[a] & this.#ends[b] ? (this.#known.get(edgeKey(a, b)) ?? -1) : -1;
  }
}

/** Finds a new corner for each edge that is to be halved. */
function findMiddles(
  middles: Middles,
  p: number[],
  t: ArrayLike<number>,
  points: OffsetPoints,
  sag: number,
): void {
  const { normals: n, triangles: near } = points;
  const halve = (a: number, b: number, least: number) => {
    const middle = p.length / 3;
    for (let axis = 0; axis < 3; axis++) {
      p.push((p[3 * a + axis] + p[3 * b + axis]) / 2);
      n.push(0);
    }
    near.push(-1);
    const most = Math.sqrt(between(p, a, b)) / 2;
    if (points.settle(middle, p, [near[a], near[b]], most) >= least) {
      middles.set(a, b, middle);
      return;
    }
    p.length -= 3;
    n.length -= 3;
    near.length -= 1;
  };
  const bent = (TURN * sag) ** 2;
  for (let i = 0; i < t.length; i++) {
    const a = t[i];
    const b = t[i % 3 === 2 ? i - 2 : i + 1];
    // The other triangle of an edge has it the other way round; those with no other are not settled.
    if (a > b || near[a] < 0 || near[b] < 0) continue;
    if (between(p, a, b) * between(n, a, b) >= bent) halve(a, b, sag);
  }
  // A long edge that bends to and fro may have its middle in place: it goes with the shorter ones beside it.
  for (let i = 0; i < t.length; i += 3) {
    const [u, v, w] = [t[i], t[i + 1], t[i + 2]];
    if (middles.of(u, v) < 0 && middles.of(v, w) < 0 && middles.of(w, u) < 0) continue;
    const lengths = [between(p, u, v), between(p, v, w), between(p, w, u)];
    const longest = lengths.indexOf(Math.max(...lengths));
    const [a, b] = [t[i + longest], t[i + ((longest + 1) % 3)]];
    if (near[a] >= 0 && near[b] >= 0 && middles.of(a, b) < 0) halve(a, b, 0);
  }
}

/**
 * Each triangle in two, three or four, as many of its edges have a corner in their middle; what is left
 * with four corners along the shorter diagonal.
 */
function divided(p: readonly number[], t: ArrayLike<number>, middles: Middles): number[] {
  const made: number[] = [];
  for (let i = 0; i < t.length; i += 3) {
    const [u, v, w] = [t[i], t[i + 1], t[i + 2]];
    const [uv, vw, wu] = [middles.of(u, v), middles.of(v, w), middles.of(w, u)];
    if (uv < 0 && vw < 0 && wu < 0) {
      made.push(u, v, w);
      continue;
    }
    const corners = [u, v, w];
    const cut = [uv, vw, wu];
    const count = cut.filter((m) => m >= 0).length;
    // Turned so that what is divided comes first.
    const first = count === 1 ? cut.findIndex((m) => m >= 0) : (cut.findIndex((m) => m < 0) + 1) % 3;
    const [a, b, c] = [0, 1, 2].map((e) => corners[(first + e) % 3]);
    const [ab, bc, ca] = [0, 1, 2].map((e) => cut[(first + e) % 3]);
    if (count === 1) made.push(a, ab, c, ab, b, c);
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
