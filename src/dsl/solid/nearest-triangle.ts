import type { Mesh } from "./mesh.ts";
import { TriangleDistance } from "./triangle-distance.ts";

/**
 * The triangle that is nearest to a point, from some that are near it: their neighbours are looked at
 * as long as one of them is nearer, since between narrow triangles the grid knows only some.
 */
export class NearestTriangle {
  /** From the point looked at last to the nearest point. */
  readonly away: [number, number, number] = [0, 0, 0];
  readonly #measure: TriangleDistance;
  readonly #t: Uint32Array;
  /** Triangles at each corner, one after another from `#first` on. */
  readonly #first: Uint32Array;
  readonly #at: Uint32Array;
  /** The look that has met each triangle last, and the number of the one under way. */
  readonly #met: Uint32Array;
  #look = 0;

  constructor(mesh: Mesh) {
    const { positions, triangles: t } = mesh;
    this.#measure = new TriangleDistance(mesh);
    this.#t = t;
    this.#first = new Uint32Array(positions.length / 3 + 1);
    for (const v of t) this.#first[v + 1]++;
    for (let v = 1; v < this.#first.length; v++) this.#first[v] += this.#first[v - 1];
    const next = this.#first.slice();
    this.#at = new Uint32Array(t.length);
    this.#met = new Uint32Array(t.length / 3);
    for (let i = 0; i < t.length; i++) this.#at[next[t[i]]++] = Math.floor(i / 3);
  }

  /** The triangle that was nearest to the point looked at last; −1 where none has a distance. */
  triangle = -1;

  /** Distance of a point, mm. */
  look(some: readonly number[], x: number, y: number, z: number): number {
    const measure = this.#measure;
    let least = Infinity;
    let best = -1;
    this.#look++;
    const offer = (t: number) => {
      if (this.#met[t] === this.#look) return;
      this.#met[t] = this.#look;
      const d = measure.squared(t, x, y, z);
      // A triangle without area may have no distance.
      if (!(d < least)) return;
      least = d;
      best = t;
      this.away[0] = measure.away[0];
      this.away[1] = measure.away[1];
      this.away[2] = measure.away[2];
    };
    for (const t of some) offer(t);
    for (let from = -1; best >= 0 && from !== best;) {
      from = best;
      for (let k = 3 * from; k < 3 * from + 3; k++) {
        const v = this.#t[k];
        for (let i = this.#first[v]; i < this.#first[v + 1]; i++) offer(this.#at[i]);
      }
    }
    this.triangle = best;
    return Math.sqrt(least);
  }
}
