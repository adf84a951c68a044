import { facetArea, openEdges, volumeOf } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
import { LEAST_FACET } from "../tolerances.ts";

/** Most that a written volume may differ from the stated one, as a fraction. */
const VOLUME_TOLERANCE = 1e-6;

/**
 * What is wrong with a mesh that is meant to be a solid, in words, or null: every edge runs once
 * in each direction, no facet is under 1e-7 mm², the volume is positive and, where `volume` (mm³)
 * is given, the stated one within a millionth. Vertices must already be welded.
 */
export function faultOfSolid(mesh: Mesh, volume?: number): string | null {
  if (mesh.triangles.length === 0) return "it has no facets";
  const open = openEdges(mesh);
  if (open > 0) return `${open} edges are not shared by exactly two facets in opposite directions`;
  const least = leastFacet(mesh);
  if (least < LEAST_FACET) return `a facet has only ${least.toExponential(1)} mm²`;
  const found = volumeOf(mesh);
  if (!(found > 0)) return `its volume is ${found} mm³`;
  if (volume !== undefined && Math.abs(found - volume) > VOLUME_TOLERANCE * volume) {
    return `its volume is ${found} mm³ where ${volume} was stated`;
  }
  return null;
}

function leastFacet(mesh: Mesh): number {
  let least = Infinity;
  for (let i = 0; i < mesh.triangles.length; i += 3) least = Math.min(least, facetArea(mesh, i));
  return least;
}
