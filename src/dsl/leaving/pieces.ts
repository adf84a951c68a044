import { pointOf, type Facets } from "./facets.ts";
import { unit, type Vec3 } from "./vector.ts";

/** A point of the clay's surface with its outward unit normal. */
export interface Corner {
  at: Vec3;
  normal: Vec3;
}

/** Part of a facet, small enough to be called in the way or not as a whole. */
export interface Piece {
  facet: number;
  corners: [Corner, Corner, Corner];
  /** mm². */
  area: number;
}

/** How small the pieces of a facet are to be. */
export interface Fineness {
  /** mm². */
  area: number;
  /** Longest side, mm: a narrow facet must not reach far. */
  side: number;
}

/** A vertex as a corner. */
export const cornerOf = ({ positions, normals }: Facets, vertex: number): Corner => ({
  at: pointOf(positions, vertex),
  normal: pointOf(normals, vertex),
});

export function pieceOf(facets: Facets, facet: number): Piece {
  const corner = (k: number) => cornerOf(facets, facets.triangles[3 * facet + k]);
  const corners: Piece["corners"] = [corner(0), corner(1), corner(2)];
  return { facet, corners, area: areaOf(corners) };
}

/** The pieces that a facet is divided into, by halving the longest side. */
export function divide(piece: Piece, fineness: Fineness, into: Piece[]): void {
  const [a, b, c] = piece.corners;
  const sides = [distance(a, b), distance(b, c), distance(c, a)];
  const longest = Math.max(...sides);
  if (piece.area <= fineness.area && longest <= fineness.side) {
    into.push(piece);
    return;
  }
  const k = sides.indexOf(longest);
  const [from, to, tip] = k === 0 ? [a, b, c] : k === 1 ? [b, c, a] : [c, a, b];
  const middle = between(from, to);
  for (const corners of [
    [from, middle, tip],
    [middle, to, tip],
  ] as Piece["corners"][])
    divide({ facet: piece.facet, corners, area: piece.area / 2 }, fineness, into);
}

/** The pieces of a piece on which a value, linear between its corners, is under the limit. */
export function below(piece: Piece, values: [number, number, number], limit: number): Piece[] {
  const kept: Corner[] = [];
  for (let k = 0; k < 3; k++) {
    const next = (k + 1) % 3;
    const [own, other] = [values[k], values[next]];
    if (own < limit) kept.push(piece.corners[k]);
    if (own < limit !== other < limit)
      kept.push(onSide(piece.corners[k], piece.corners[next], (limit - own) / (other - own)));
  }
  const pieces: Piece[] = [];
  for (let k = 1; k + 1 < kept.length; k++) {
    const corners: Piece["corners"] = [kept[0], kept[k], kept[k + 1]];
    pieces.push({ facet: piece.facet, corners, area: areaOf(corners) });
  }
  return pieces;
}

function onSide(a: Corner, b: Corner, share: number): Corner {
  const mix = (key: keyof Corner): Vec3 => [
    a[key][0] + share * (b[key][0] - a[key][0]),
    a[key][1] + share * (b[key][1] - a[key][1]),
    a[key][2] + share * (b[key][2] - a[key][2]),
  ];
  return { at: mix("at"), normal: unit(mix("normal")) ?? a.normal };
}

/** The middle of a side, with the surface's normal there. */
export function between(a: Corner, b: Corner): Corner {
  const mean = (key: keyof Corner): Vec3 => [
    (a[key][0] + b[key][0]) / 2,
    (a[key][1] + b[key][1]) / 2,
    (a[key][2] + b[key][2]) / 2,
  ];
  return { at: mean("at"), normal: unit(mean("normal")) ?? a.normal };
}

const distance = (a: Corner, b: Corner): number =>
  Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1], a.at[2] - b.at[2]);

function areaOf([a, b, c]: Piece["corners"]): number {
  const u = [b.at[0] - a.at[0], b.at[1] - a.at[1], b.at[2] - a.at[2]];
  const v = [c.at[0] - a.at[0], c.at[1] - a.at[1], c.at[2] - a.at[2]];
  return Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2;
}
