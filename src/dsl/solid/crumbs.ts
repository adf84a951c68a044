import { facetCross } from "./measure.ts";
import type { Mesh } from "./mesh.ts";
import type { Face, Tagged } from "./tagged.ts";

/** A loose piece with less volume than this, mm³, is left over from cutting, and no printer shows it. */
const CRUMB = 1e-2;

/** The connected pieces of a mesh: for each triangle the number of its piece, and the volume of each, mm³. */
export function piecesOf({ positions: p, triangles: t }: Mesh): { of: Int32Array; volumes: number[] } {
  const parent = new Int32Array(p.length / 3);
  for (let v = 0; v < parent.length; v++) parent[v] = v;
  const root = (v: number): number => {
    while (parent[v] !== v) {
      parent[v] = parent[parent[v]];
      v = parent[v];
    }
    return v;
  };
  for (let i = 0; i < t.length; i += 3) {
    const a = root(t[i]);
    parent[root(t[i + 1])] = a;
    parent[root(t[i + 2])] = a;
  }
  const numbers = new Map<number, number>();
  const volumes: number[] = [];
  const of = new Int32Array(t.length / 3);
  for (let f = 0; f < of.length; f++) {
    const own = root(t[3 * f]);
    let number = numbers.get(own);
    if (number === undefined) {
      numbers.set(own, (number = volumes.length));
      volumes.push(0);
    }
    of[f] = number;
    const [x, y, z] = facetCross({ positions: p, triangles: t }, 3 * f);
    const v = 3 * t[3 * f];
    volumes[number] += (p[v] * x + p[v + 1] * y + p[v + 2] * z) / 6;
  }
  return { of, volumes };
}

/** A solid without the crumbs that the kernel leaves where faces all but coincide. */
export function withoutCrumbs(solid: Tagged): Tagged {
  const { of, volumes } = piecesOf(solid.mesh);
  if (volumes.every((volume) => Math.abs(volume) > CRUMB)) return solid;
  return only(solid, of, (piece) => Math.abs(volumes[piece]) > CRUMB);
}

/**
 * The pieces of a solid that have a face of a kind, without the others; with how many they are, and the
 * volume of what is left out, mm³.
 */
export function piecesWith(solid: Tagged, face: Face): { solid: Tagged; count: number; lost: number } {
  const { of, volumes } = piecesOf(solid.mesh);
  const has = new Set<number>();
  for (const run of solid.runs)
    if (run.face === face) for (let f = run.start; f < run.start + run.count; f++) has.add(of[f]);
  const lost = volumes.reduce((sum, volume, piece) => sum + (has.has(piece) ? 0 : volume), 0);
  if (has.size === volumes.length) return { solid, count: has.size, lost };
  return { solid: only(solid, of, (piece) => has.has(piece)), count: has.size, lost };
}

function only(solid: Tagged, of: Int32Array, keep: (piece: number) => boolean): Tagged {
  const { positions, triangles } = solid.mesh;
  const kept: number[] = [];
  const runs = solid.runs.flatMap((run) => {
    const start = kept.length / 3;
    for (let f = run.start; f < run.start + run.count; f++)
      if (keep(of[f])) for (let i = 3 * f; i < 3 * f + 3; i++) kept.push(triangles[i]);
    const count = kept.length / 3 - start;
    return count > 0 ? [{ ...run, start, count }] : [];
  });
  return { mesh: { positions, triangles: Uint32Array.from(kept) }, runs };
}
