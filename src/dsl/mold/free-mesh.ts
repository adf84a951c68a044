import type { Body } from "../kit/body.ts";
import { crossings, shellsOf } from "../solid/crossing.ts";
import type { NormalMesh } from "../solid/kernel.ts";
import { boundsOf, facetCross, volumeOf } from "../solid/measure.ts";
import type { Mesh } from "../solid/mesh.ts";
import { repair } from "../solid/repair.ts";
import type { Vec3 } from "./model.ts";
import { Unbuildable } from "./unbuildable.ts";

/** Too little to press, mm³. */
const LEAST_VOLUME = 1;

/**
 * A mesh that a maker brought, as closed surfaces in the wet frame, standing on z = 0 unless it is `placed`: welded, its
 * T-junctions mended, facing outwards. Mostly one; solids that were laid into one another without
 * being joined come apart, so that their union can be taken. A mesh that stays open, encloses
 * nothing or goes through itself is a finding.
 */
export function closedShells(given: Mesh, from: string, scale: number, body: Body, placed = false): Mesh[] {
  const { mesh, open, at } = repair(given);
  const target = { call: body.call, argument: 0 };
  const place = (where: Vec3) => ({
    x: Math.round(where[0]),
    y: Math.round(where[1]),
    z: Math.round(where[2]),
  });
  if (open > 0)
    throw new Unbuildable({
      code: "body-open",
      severity: "error",
      args: { from, open, ...place(at) },
      target,
      value: open,
      limit: 0,
      unit: "",
      at: at.map((value) => value * scale) as Vec3,
    });
  const volume = volumeOf(mesh);
  if (!(Math.abs(volume) * scale * scale * scale > LEAST_VOLUME))
    throw new Unbuildable({
      code: "body-open",
      severity: "error",
      variant: "empty",
      args: { from },
      target,
      value: 0,
      limit: LEAST_VOLUME,
      unit: "mm³",
    });
  const foot = placed ? 0 : boundsOf(mesh).min[2];
  const positions = mesh.positions.map((value, i) => scale * (i % 3 === 2 ? value - foot : value));
  const outwards = { positions, triangles: volume < 0 ? turned(mesh.triangles) : mesh.triangles };
  const { shells, through } = apart(outwards);
  if (through)
    throw new Unbuildable({
      code: "body-crossing",
      severity: "error",
      variant: "mesh",
      args: { from, ...place(through.map((value) => value / scale) as Vec3) },
      target,
      value: 1,
      limit: 0,
      unit: "",
      at: through,
    });
  return shells;
}

/** The same facets, seen from the other side. */
function turned(triangles: Uint32Array): Uint32Array {
  const back = triangles.slice();
  for (let i = 0; i < back.length; i += 3) [back[i], back[i + 1]] = [back[i + 1], back[i]];
  return back;
}

/**
 * A mesh as it is where nothing of it crosses, and its surfaces one by one where some cross one
 * another and each is solid; `through` is a place where one goes through itself, or through a hollow.
 */
function apart(mesh: Mesh): { shells: Mesh[]; through: Vec3 | null } {
  const own = shellsOf(mesh);
  let shells: Mesh[] | null = null;
  for (const { facets, at } of crossings(mesh)) {
    const [a, b] = facets.map((facet) => own.of[facet]);
    shells ??= Array.from({ length: own.count }, (_, shell) => ({
      positions: mesh.positions,
      triangles: mesh.triangles.filter((_, i) => own.of[Math.floor(i / 3)] === shell),
    }));
    if (a === b || shells.some((shell) => volumeOf(shell) < 0)) return { shells: [], through: at };
  }
  return { shells: shells ?? [mesh], through: null };
}

/** A mesh with the normal of its facet at each corner: for what is nothing but facets, they are the surface. */
export function facetSurface(mesh: Mesh): NormalMesh {
  const count = mesh.triangles.length;
  const positions = new Float64Array(3 * count);
  const normals = new Float64Array(3 * count);
  for (let i = 0; i < count; i += 3) {
    const n = facetCross(mesh, i);
    const length = Math.hypot(...n) || 1;
    for (let k = i; k < i + 3; k++) {
      const v = 3 * mesh.triangles[k];
      positions.set(mesh.positions.subarray(v, v + 3), 3 * k);
      for (let axis = 0; axis < 3; axis++) normals[3 * k + axis] = n[axis] / length;
    }
  }
  return { positions, normals, triangles: Uint32Array.from({ length: count }, (_, i) => i) };
}
