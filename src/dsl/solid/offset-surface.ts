import { Border } from "./border.ts";
import { triangulateLoops } from "./cap.ts";
import { contour } from "./contour.ts";
import { distanceField, TriangleDistance, type Field } from "./distance.ts";
import type { Mesh } from "./mesh.ts";

/**
 * The surface at a distance from a closed mesh, as a closed mesh itself: outside it, or inside.
 * Between `low` and `high` its corners lie at that distance; it is closed somewhere beyond them. Empty
 * where nothing is so far inside.
 *
 * A field contoured by straight lines comes out thin where the surface is rounded, so each corner is
 * put where it belongs, from the triangles that are nearest around it.
 *
 * @param by mm
 * @param step of the grid that is contoured, mm; what is finer may be missed
 */
export function offsetSurface(
  mesh: Mesh,
  by: number,
  side: "outside" | "inside",
  step: number,
  [low, high]: readonly [number, number],
): Mesh {
  const field = distanceField(mesh, { step, level: by, side, low, high });
  const surface = contour(field, by);
  settle(surface.positions, field, new NearestTriangle(mesh), by);
  if (side === "inside") turnInsideOut(surface.triangles);
  return closedBelowAndAbove(surface, field.origin[2] + ((field.counts[2] - 1) * field.step) / 2);
}

/** Level caps where the surface runs out of its field, which it does at its lowest and its highest layer only. */
function closedBelowAndAbove({ positions, triangles }: Mesh, middle: number): Mesh {
  const border = new Border();
  for (let i = 0; i < triangles.length; i += 3)
    border.triangle(triangles[i], triangles[i + 1], triangles[i + 2]);
  const loops = border.loops();
  if (loops.length === 0) return { positions, triangles };
  const heights = loops.map(([first]) => positions[3 * first + 2]);
  const more: number[] = [];
  for (const up of [false, true]) {
    // Seen from above, edges of the side run counter-clockwise along the foot and clockwise along the top.
    const own = loops.filter((_, i) => heights[i] > middle === up);
    const turned = up ? own.map((loop) => [...loop].reverse()) : own;
    if (turned.length === 0) continue;
    const vertices = turned.flat();
    const cap = triangulateLoops(
      turned.map((loop) => loop.flatMap((v) => [positions[3 * v], positions[3 * v + 1]])),
    );
    for (let i = 0; i < cap.length; i += 3) {
      const [a, b, c] = [vertices[cap[i]], vertices[cap[i + 1]], vertices[cap[i + 2]]];
      if (up) more.push(a, b, c);
      else more.push(a, c, b);
    }
  }
  const all = new Uint32Array(triangles.length + more.length);
  all.set(triangles);
  all.set(more, triangles.length);
  return { positions, triangles: all };
}

/** Rounds in which a corner between several triangles finds its place. */
const ROUNDS = 4;
/** A corner that would have to go further than this share of a step is left where it is. */
const MOST_MOVE = 0.5;

/** Puts the corners of a contour at their distance from the nearest of the triangles around them. */
function settle(p: Float64Array, field: Field, triangles: NearestTriangle, by: number): void {
  const { origin, step, counts, nearest } = field;
  const [nx, ny, nz] = counts;
  const around: number[] = [];
  for (let i = 0; i < p.length; i += 3) {
    const cell = [0, 1, 2].map((axis) => {
      const at = Math.floor((p[i + axis] - origin[axis]) / step);
      return Math.min(counts[axis] - 2, Math.max(0, at));
    });
    if (cell[2] === 0 || cell[2] === nz - 2) continue;
    around.length = 0;
    const base = (cell[2] * ny + cell[1]) * nx + cell[0];
    for (let corner = 0; corner < 8; corner++) {
      const t = nearest[base + (corner & 1) + nx * (((corner >> 1) & 1) + ny * (corner >> 2))];
      if (t >= 0 && !around.includes(t)) around.push(t);
    }
    let [x, y, z] = [p[i], p[i + 1], p[i + 2]];
    for (let round = 0; round < ROUNDS; round++) {
      const distance = triangles.look(around, x, y, z);
      if (!(distance > 1e-9) || !Number.isFinite(distance)) break;
      const move = (distance - by) / distance;
      x += triangles.away[0] * move;
      y += triangles.away[1] * move;
      z += triangles.away[2] * move;
      if (Math.abs(distance - by) < 1e-4) break;
    }
    const moved = Math.hypot(x - p[i], y - p[i + 1], z - p[i + 2]);
    if (!(moved < MOST_MOVE * step)) continue;
    p[i] = x;
    p[i + 1] = y;
    p[i + 2] = z;
  }
}

/**
 * The triangle that is nearest to a point, from some that are near it: their neighbours are looked at
 * as long as one of them is nearer, since between narrow triangles the grid knows only some.
 */
class NearestTriangle {
  /** From the point looked at last to the nearest point. */
  readonly away: [number, number, number] = [0, 0, 0];
  readonly #measure: TriangleDistance;
  readonly #t: Uint32Array;
  /** Triangles at each corner, one after another from `#first` on. */
  readonly #first: Uint32Array;
  readonly #at: Uint32Array;

  constructor(mesh: Mesh) {
    const { positions, triangles: t } = mesh;
    this.#measure = new TriangleDistance(mesh);
    this.#t = t;
    this.#first = new Uint32Array(positions.length / 3 + 1);
    for (const v of t) this.#first[v + 1]++;
    for (let v = 1; v < this.#first.length; v++) this.#first[v] += this.#first[v - 1];
    const next = this.#first.slice();
    this.#at = new Uint32Array(t.length);
    for (let i = 0; i < t.length; i++) this.#at[next[t[i]]++] = Math.floor(i / 3);
  }

  look(some: readonly number[], x: number, y: number, z: number): number {
    const measure = this.#measure;
    let least = Infinity;
    let best = -1;
    const offer = (t: number) => {
      const d = measure.squared(t, x, y, z);
      // A triangle without area may have no distance.
      if (!(d < least)) return;
      least = d;
      best = t;
      for (let axis = 0; axis < 3; axis++) this.away[axis] = measure.away[axis];
    };
    for (const t of some) offer(t);
    for (let from = -1; best >= 0 && from !== best;) {
      from = best;
      for (let k = 3 * from; k < 3 * from + 3; k++) {
        const v = this.#t[k];
        for (let i = this.#first[v]; i < this.#first[v + 1]; i++)
          if (this.#at[i] !== from) offer(this.#at[i]);
      }
    }
    return Math.sqrt(least);
  }
}

function turnInsideOut(t: Uint32Array): void {
  for (let i = 0; i < t.length; i += 3) [t[i], t[i + 1]] = [t[i + 1], t[i]];
}
