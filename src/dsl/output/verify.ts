import type { Mesh } from "../solid/mesh.ts";
import { LEAST_FACET } from "../tolerances.ts";
import { measure } from "./measure.ts";

/** Most that a written volume may differ from the stated one, as a fraction. */
const VOLUME_TOLERANCE = 1e-6;

/**
 * What is wrong with a mesh that is meant to be a solid, in words, or null: every edge runs once
 * in each direction, no facet is under 1e-7 mm², the volume is positive and, where `volume` (mm³)
 * is given, the stated one within a millionth. Vertices must already be welded.
 */
export function faultOfSolid(mesh: Mesh, volume?: number): string | null {
  if (mesh.triangles.length === 0) return "it has no facets";
  const open = countOpenEdges(mesh);
  if (open > 0) return `${open} edges are not shared by exactly two facets in opposite directions`;
  const found = measure(mesh);
  if (found.leastFacet < LEAST_FACET) return `a facet has only ${found.leastFacet.toExponential(1)} mm²`;
  if (!(found.volume > 0)) return `its volume is ${found.volume} mm³`;
  if (volume !== undefined && Math.abs(found.volume - volume) > VOLUME_TOLERANCE * volume) {
    return `its volume is ${found.volume} mm³ where ${volume} was stated`;
  }
  return null;
}

/** How many directed edges do not run exactly once, or whose opposite does not run exactly once. */
export function countOpenEdges({ positions, triangles }: Mesh): number {
  const vertices = positions.length / 3;
  const first = new Uint32Array(vertices + 1);
  for (const vertex of triangles) first[vertex + 1]++;
  for (let v = 0; v < vertices; v++) first[v + 1] += first[v];
  // Ends of the edges that leave each vertex, one after another.
  const ends = new Uint32Array(triangles.length);
  const fill = first.slice(0, vertices);
  for (let t = 0; t < triangles.length; t += 3) {
    for (let side = 0; side < 3; side++) {
      ends[fill[triangles[t + side]]++] = triangles[t + ((side + 1) % 3)];
    }
  }
  const runs = (from: number, to: number): number => {
    let count = 0;
    for (let i = first[from]; i < first[from + 1]; i++) if (ends[i] === to) count++;
    return count;
  };
  let open = 0;
  for (let from = 0; from < vertices; from++) {
    for (let i = first[from]; i < first[from + 1]; i++) {
      if (runs(from, ends[i]) !== 1 || runs(ends[i], from) !== 1) open++;
    }
  }
  return open;
}
