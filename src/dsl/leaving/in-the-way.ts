import { facetAreas, type Facets } from "./facets.ts";
import { shareBelow, WRONG } from "./facing.ts";
import {
  below,
  between,
  cornerOf,
  divide,
  pieceOf,
  type Corner,
  type Fineness,
  type Piece,
} from "./pieces.ts";
import { RAY_LIFT, type SolidView } from "./solid-view.ts";
import type { Vec3 } from "./vector.ts";
import { viewAlong, type View } from "./view.ts";

/** Facets at the edge of a shadow are divided to this: 1 mm². */
const AT_EDGE: Fineness = { area: 1, side: 3 };
/** What is no larger is in the way as a whole where its corners and its middle are, and free where they are. */
const OF_A_KIND: Fineness = { area: 9, side: 6 };
/** Facets that face the wrong way as a whole are divided only so that the depth is asked for often enough. */
export const WHOLE: Fineness = { area: 25, side: 8 };

/** What is known of a corner. */
const UNKNOWN = 0;
const LIT = 1;
const SHADOWED = 2;

/**
 * What of some facets of the clay is in the way of a part that leaves along a pull: what faces the wrong way, and
 * what a ray along the pull finds clay ahead of. Facets that no clay can lie ahead of are passed over. The others are
 * asked at their corners and in their middle, and divided to 1 mm² where these do not agree. Corners are kept as they
 * are seen along the pull; those in between lie half-way between two others.
 */
export class InTheWay {
  readonly areaMm2: number;
  readonly #view: SolidView;
  readonly #facets: Facets;
  /** Where the rays of corners start: place across the pull and height along it, mm, and the sine of the draft there. */
  readonly #rays: View;
  #u: Float64Array;
  #v: Float64Array;
  #h: Float64Array;
  #sines: Float64Array;
  #known: Uint8Array;
  /** Of corners that facets do not have themselves, the two that they lie between. */
  readonly #between: number[] = [];
  #corners: number;
  /** Facets of which all that faces the wrong way is in the way, and no more. */
  readonly #wrong: number[] = [];
  /** Of pieces the facet and the three corners. */
  readonly #pieces: number[] = [];
  readonly #areas: number[] = [];

  constructor(view: SolidView, facets: Facets, m: Vec3) {
    this.#view = view;
    this.#facets = facets;
    const count = facets.positions.length / 3;
    const { normals, positions, triangles: t } = facets;
    this.#rays = viewAlong(
      { positions: positions.map((p, i) => p + RAY_LIFT * normals[i]), triangles: t },
      m,
    );
    const { u, v, h } = this.#rays;
    [this.#u, this.#v, this.#h] = [u, v, h];
    this.#sines = new Float64Array(count);
    for (let i = 0, n = 0; i < count; i++, n += 3)
      this.#sines[i] = normals[n] * m[0] + normals[n + 1] * m[1] + normals[n + 2] * m[2];
    this.#known = new Uint8Array(count);
    this.#corners = count;
    const areas = facetAreas(facets);
    let area = 0;
    for (let f = 0, i = 0; i < t.length; f++, i += 3) {
      const [a, b, c] = [t[i], t[i + 1], t[i + 2]];
      const [sa, sb, sc] = [this.#sines[a], this.#sines[b], this.#sines[c]];
      const isWrong = sa < WRONG && sb < WRONG && sc < WRONG;
      if (isWrong || !view.mayBeShadowed(this.#rays, a, b, c)) {
        const share = shareBelow(sa, sb, sc);
        if (share === 0) continue;
        this.#wrong.push(f);
        area += share * areas[f];
      } else area += this.#ask(f, a, b, c, areas[f]);
    }
    this.areaMm2 = area;
  }

  /** The area of a piece that is in the way, mm². */
  #ask(f: number, a: number, b: number, c: number, area: number): number {
    const [ab, bc, ca] = [this.#square(a, b), this.#square(b, c), this.#square(c, a)];
    const longest = Math.max(ab, bc, ca);
    if (area <= OF_A_KIND.area && longest <= OF_A_KIND.side * OF_A_KIND.side) {
      const isMiddle = this.#isMiddleShadowed(a, b, c);
      const kind = isMiddle ? SHADOWED : LIT;
      const isAtEdge = area <= AT_EDGE.area && longest <= AT_EDGE.side * AT_EDGE.side;
      if (isAtEdge || (this.#at(a) === kind && this.#at(b) === kind && this.#at(c) === kind)) {
        const own = isMiddle ? area : area * shareBelow(this.#sines[a], this.#sines[b], this.#sines[c]);
        if (own === 0) return 0;
        this.#pieces.push(f, a, b, c);
        this.#areas.push(own);
        return own;
      }
    }
    if (ab === longest) return this.#halve(f, a, b, c, area);
    if (bc === longest) return this.#halve(f, b, c, a, area);
    return this.#halve(f, c, a, b, area);
  }

  #halve(f: number, from: number, to: number, tip: number, area: number): number {
    const middle = this.#middle(from, to);
    return this.#ask(f, from, middle, tip, area / 2) + this.#ask(f, middle, to, tip, area / 2);
  }

  #middle(a: number, b: number): number {
    const corner = this.#corners++;
    if (corner === this.#u.length) {
      this.#u = enlarged(this.#u);
      this.#v = enlarged(this.#v);
      this.#h = enlarged(this.#h);
      this.#sines = enlarged(this.#sines);
      const known = new Uint8Array(this.#u.length);
      known.set(this.#known);
      this.#known = known;
    }
    this.#u[corner] = (this.#u[a] + this.#u[b]) / 2;
    this.#v[corner] = (this.#v[a] + this.#v[b]) / 2;
    this.#h[corner] = (this.#h[a] + this.#h[b]) / 2;
    this.#sines[corner] = (this.#sines[a] + this.#sines[b]) / 2;
    this.#between.push(a, b);
    return corner;
  }

  #at(corner: number): number {
    if (this.#known[corner] === UNKNOWN)
      this.#known[corner] = this.#view.meetsAhead(this.#u[corner], this.#v[corner], this.#h[corner])
        ? SHADOWED
        : LIT;
    return this.#known[corner];
  }

  #isMiddleShadowed(a: number, b: number, c: number): boolean {
    const [u, v, h] = [this.#u, this.#v, this.#h];
    return this.#view.meetsAhead(
      (u[a] + u[b] + u[c]) / 3,
      (v[a] + v[b] + v[c]) / 3,
      (h[a] + h[b] + h[c]) / 3,
    );
  }

  /** Square of the distance of two corners, mm². */
  #square(a: number, b: number): number {
    const du = this.#u[a] - this.#u[b];
    const dv = this.#v[a] - this.#v[b];
    const dh = this.#h[a] - this.#h[b];
    return du * du + dv * dv + dh * dh;
  }

  /** All of it, in pieces small enough to be asked for their depth. */
  pieces(): Piece[] {
    const found: Piece[] = [];
    const t = this.#facets.triangles;
    for (const f of this.#wrong) {
      const [a, b, c] = [t[3 * f], t[3 * f + 1], t[3 * f + 2]];
      const sines: [number, number, number] = [this.#sines[a], this.#sines[b], this.#sines[c]];
      for (const part of below(pieceOf(this.#facets, f), sines, WRONG)) divide(part, WHOLE, found);
    }
    const known = new Map<number, Corner>();
    const corner = (i: number): Corner => {
      let one = known.get(i);
      if (!one) known.set(i, (one = this.#corner(i, corner)));
      return one;
    };
    this.#areas.forEach((area, i) => {
      const [facet, a, b, c] = this.#pieces.slice(4 * i, 4 * i + 4);
      found.push({ facet, corners: [corner(a), corner(b), corner(c)], area });
    });
    return found;
  }

  #corner(i: number, other: (i: number) => Corner): Corner {
    const own = this.#facets.positions.length / 3;
    if (i < own) return cornerOf(this.#facets, i);
    const k = 2 * (i - own);
    return between(other(this.#between[k]), other(this.#between[k + 1]));
  }
}

function enlarged(values: Float64Array): Float64Array {
  const larger = new Float64Array(2 * values.length);
  larger.set(values);
  return larger;
}
