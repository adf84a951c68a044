import { facetAreas, type Facets } from "./facets.ts";
import { shareBelow, WRONG } from "./facing.ts";
import { dot, sinDeg, type Vec3 } from "./vector.ts";

/** What faces against a direction. */
export interface Measured {
  /** mm², exact where normals change linearly over a facet. */
  area: number;
  /** Sine of the least draft. */
  least: number;
}

/** A measure of the area of some facets that faces against a direction. */
export class FacingArea {
  readonly #facets: Facets;
  readonly #areas: Float64Array;
  readonly #sines: Float64Array;

  constructor(facets: Facets) {
    this.#facets = facets;
    this.#areas = facetAreas(facets);
    this.#sines = new Float64Array(facets.normals.length / 3);
  }

  along(m: Vec3): Measured {
    const least = this.#look(m);
    const sines = this.#sines;
    const t = this.#facets.triangles;
    let area = 0;
    for (let f = 0, i = 0; f < this.#areas.length; f++, i += 3) {
      const a = sines[t[i]];
      const b = sines[t[i + 1]];
      const c = sines[t[i + 2]];
      if (a < WRONG || b < WRONG || c < WRONG) area += this.#areas[f] * shareBelow(a, b, c);
    }
    return { area, least };
  }

  /**
   * The same for many directions one near another: what faces the wrong way along all within `cone` degrees, or
   * along none, is looked at only once.
   */
  within(cone: number): (m: Vec3) => Measured {
    const least = Math.cos((cone * Math.PI) / 180);
    let centre: Vec3 = [0, 0, 0];
    let around: ((m: Vec3) => Measured) | null = null;
    return (m) => {
      if (!around || dot(centre, m) < least) [centre, around] = [m, this.#around(m, cone)];
      return around(m);
    };
  }

  #around(centre: Vec3, cone: number): (m: Vec3) => Measured {
    /** The most that a sine changes from the middle on. */
    const change = 2 * sinDeg(cone / 2);
    const least = this.#look(centre);
    const sines = this.#sines;
    const { normals, triangles: t } = this.#facets;
    let sure = 0;
    const near: number[] = [];
    const wanted = new Uint8Array(sines.length);
    for (let f = 0, i = 0; f < this.#areas.length; f++, i += 3) {
      const [a, b, c] = [sines[t[i]], sines[t[i + 1]], sines[t[i + 2]]];
      if (Math.min(a, b, c) >= WRONG + change) continue;
      if (Math.max(a, b, c) < WRONG - change) {
        sure += this.#areas[f];
        continue;
      }
      near.push(f);
      wanted[t[i]] = wanted[t[i + 1]] = wanted[t[i + 2]] = 1;
    }
    const vertices: number[] = [];
    const lowest: number[] = [];
    for (let v = 0; v < sines.length; v++) {
      if (wanted[v]) vertices.push(v);
      if (sines[v] <= least + 2 * change) lowest.push(v);
    }
    const facets = Int32Array.from(near);
    const own = Int32Array.from(vertices);
    const steep = Int32Array.from(lowest);
    return ([x, y, z]) => {
      for (let i = 0; i < own.length; i++) {
        const n = 3 * own[i];
        sines[own[i]] = normals[n] * x + normals[n + 1] * y + normals[n + 2] * z;
      }
      let area = sure;
      for (let k = 0; k < facets.length; k++) {
        const i = 3 * facets[k];
        const a = sines[t[i]];
        const b = sines[t[i + 1]];
        const c = sines[t[i + 2]];
        if (a < WRONG || b < WRONG || c < WRONG) area += this.#areas[facets[k]] * shareBelow(a, b, c);
      }
      let lowestNow = 1;
      for (let i = 0; i < steep.length; i++) {
        const n = 3 * steep[i];
        const sine = normals[n] * x + normals[n + 1] * y + normals[n + 2] * z;
        if (sine < lowestNow) lowestNow = sine;
      }
      return { area, least: lowestNow };
    };
  }

  /** Finds all sines along a direction, and gives the least. */
  #look([x, y, z]: Vec3): number {
    const { normals } = this.#facets;
    const sines = this.#sines;
    let least = 1;
    for (let i = 0, j = 0; i < sines.length; i++, j += 3) {
      const sine = normals[j] * x + normals[j + 1] * y + normals[j + 2] * z;
      sines[i] = sine;
      if (sine < least) least = sine;
    }
    return least;
  }
}
