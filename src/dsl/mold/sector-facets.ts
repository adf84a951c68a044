import type { Facets } from "../leaving/facets.ts";

/** What lies between two upright half planes about one axis, counter-clockwise from the first; radians. */
export interface Sector {
  centre: { x: number; y: number };
  from: number;
  to: number;
}

/** How far a sector reaches round, radians in (0, 2π]. */
export function spanOf({ from, to }: Sector): number {
  const turn = 2 * Math.PI;
  const span = (to - from) % turn;
  return span > 1e-9 ? span : span + turn;
}

/** The direction through the middle of a sector, radians. */
export const middleOf = (sector: Sector): number => sector.from + spanOf(sector) / 2;

/** The facets in a sector, those across its borders cut there with the normals that they have. */
export function sectorFacets(facets: Facets, sector: Sector): Facets {
  const { from } = sector;
  const span = spanOf(sector);
  const out = new Cut(facets);
  // Up to a half turn a sector is what two half planes have in common.
  const pieces = span > Math.PI + 1e-9 ? 2 : 1;
  for (let k = 0; k < pieces; k++) {
    const start = from + (span * k) / pieces;
    const end = from + (span * (k + 1)) / pieces;
    out.add(sector.centre, [
      [-Math.sin(start), Math.cos(start)],
      [Math.sin(end), -Math.cos(end)],
    ]);
  }
  return out.finish();
}

/** Nearer to a border than this, mm, a corner lies on it. */
const ON = 1e-6;

class Cut {
  readonly #facets: Facets;
  readonly #known = new Map<number, number>();
  readonly #positions: number[] = [];
  readonly #normals: number[] = [];
  readonly #triangles: number[] = [];

  constructor(facets: Facets) {
    this.#facets = facets;
  }

  /** Adds what lies on the positive side of level directions through a centre. */
  add(centre: Sector["centre"], sides: readonly (readonly [number, number])[]): void {
    const { positions: p, triangles: t } = this.#facets;
    const count = p.length / 3;
    const away = sides.map(([nx, ny]) => {
      const values = new Float64Array(count);
      for (let v = 0; v < count; v++) values[v] = (p[3 * v] - centre.x) * nx + (p[3 * v + 1] - centre.y) * ny;
      return values;
    });
    for (let i = 0; i < t.length; i += 3) {
      const corners = [t[i], t[i + 1], t[i + 2]];
      if (away.some((values) => corners.every((v) => values[v] <= ON))) continue;
      if (away.every((values) => corners.every((v) => values[v] >= -ON)))
        this.#triangles.push(...corners.map((v) => this.#kept(v)));
      else this.#clip(corners, centre, sides);
    }
  }

  #kept(v: number): number {
    let known = this.#known.get(v);
    if (known === undefined) {
      const { positions: p, normals: n } = this.#facets;
      known = this.#point([p[3 * v], p[3 * v + 1], p[3 * v + 2]], [n[3 * v], n[3 * v + 1], n[3 * v + 2]]);
      this.#known.set(v, known);
    }
    return known;
  }

  #point(at: readonly number[], normal: readonly number[]): number {
    const length = Math.hypot(normal[0], normal[1], normal[2]);
    this.#positions.push(...at);
    this.#normals.push(...normal.map((value) => value / length));
    return this.#positions.length / 3 - 1;
  }

  #clip(
    corners: readonly number[],
    centre: Sector["centre"],
    sides: readonly (readonly [number, number])[],
  ): void {
    const { positions: p, normals: n } = this.#facets;
    let polygon = corners.map((v) => ({
      at: [p[3 * v], p[3 * v + 1], p[3 * v + 2]],
      normal: [n[3 * v], n[3 * v + 1], n[3 * v + 2]],
    }));
    for (const [nx, ny] of sides) {
      const away = polygon.map(({ at }) => (at[0] - centre.x) * nx + (at[1] - centre.y) * ny);
      const mix = (a: readonly number[], b: readonly number[], share: number) =>
        a.map((value, k) => value + share * (b[k] - value));
      polygon = polygon.flatMap((corner, i) => {
        const k = (i + 1) % polygon.length;
        const kept = away[i] >= 0 ? [corner] : [];
        if (away[i] >= 0 === away[k] >= 0) return kept;
        const share = away[i] / (away[i] - away[k]);
        const next = polygon[k];
        return [
          ...kept,
          { at: mix(corner.at, next.at, share), normal: mix(corner.normal, next.normal, share) },
        ];
      });
      if (polygon.length < 3) return;
    }
    const vertices = polygon.map(({ at, normal }) => this.#point(at, normal));
    for (let k = 1; k + 1 < vertices.length; k++)
      this.#triangles.push(vertices[0], vertices[k], vertices[k + 1]);
  }

  finish(): Facets {
    return {
      positions: Float64Array.from(this.#positions),
      normals: Float64Array.from(this.#normals),
      triangles: Uint32Array.from(this.#triangles),
    };
  }
}
