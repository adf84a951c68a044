import type { Mesh } from "../solid/mesh.ts";
import { readAnyStl } from "../solid/stl-read.ts";
import { Body } from "./body.ts";
import { KitError } from "./error.ts";
import { checkChoice, checkKeys, show } from "./options.ts";
import { LARGEST } from "./outline.ts";
import { readBeside, recordCall } from "./record.ts";

export const SOLID_DEFAULTS = Object.freeze({ open: "top" } as const);

/** A solid of `@jscad/modeling`: convex polygons, and the transform still to be applied to them. */
export interface Geom3 {
  polygons: readonly { vertices: readonly (readonly number[])[] }[];
  transforms?: readonly number[];
}

/**
 * A body from a solid that is already there, fired mm, z up: a geom3 of `@jscad/modeling`, or an STL
 * file beside the design. It is set down on z = 0, but inside
 * `trim`, where it stays as high as it was written. Corners are welded and small cracks mended; a
 * surface that stays open is reported and no mold is made of it.
 *
 * @param options `open`: where the mold ends in a flat trimming face, "top" (default), "bottom" or "both"
 */
export function solid(source: Geom3 | string, options?: { open?: "top" | "bottom" | "both" }): Body {
  const call = recordCall("solid");
  const site = { name: "solid", call, argument: 1 };
  const given = { ...SOLID_DEFAULTS, ...checkKeys(site, options, ["open"]) };
  const open = checkChoice(site, "open", given.open, ["top", "bottom", "both"]);
  const { mesh, from } = typeof source === "string" ? fromFile(call, source) : fromGeom3(call, source);
  const far = mesh.positions.find((value) => !Number.isFinite(value) || Math.abs(value) > LARGEST);
  if (far !== undefined) throw refuse(call, `${from} has a corner at ${far}; allowed are ±${LARGEST} mm.`);
  return new Body([], "straight", open, call, [], { kind: "mesh", mesh, from, stays: false });
}

function refuse(call: number, reason: string): KitError {
  return new KitError("kit-conflict", { call: "solid", reason }, { call, argument: 0 });
}

function wrong(call: number, value: unknown): KitError {
  const allowed = "a solid of @jscad/modeling or the name of an STL file, such as “part.stl”";
  return new KitError(
    "kit-wrong-type",
    { call: "solid", key: "the first argument", allowed, value: show(value) },
    { call, argument: 0 },
  );
}

function fromFile(call: number, path: string): { mesh: Mesh; from: string } {
  if (!/\.stl$/i.test(path)) throw wrong(call, path);
  const found = readBeside(call, path);
  if ("fault" in found) throw refuse(call, `${show(path)} cannot be used: ${found.fault}.`);
  try {
    return { mesh: readAnyStl(found.bytes), from: path };
  } catch (error) {
    throw refuse(call, `${show(path)} is not an STL file that can be read: ${(error as Error).message}.`);
  }
}

function fromGeom3(call: number, source: unknown): { mesh: Mesh; from: string } {
  const { polygons, transforms } = (source ?? {}) as Partial<Geom3>;
  if (!Array.isArray(polygons)) throw wrong(call, source);
  const m = transforms?.length === 16 ? transforms : [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];
  const positions: number[] = [];
  const triangles: number[] = [];
  for (const polygon of polygons as { vertices?: unknown }[]) {
    const vertices = polygon.vertices;
    if (!Array.isArray(vertices) || vertices.length < 3) throw wrong(call, source);
    const first = positions.length / 3;
    for (const vertex of vertices as unknown[]) {
      if (!Array.isArray(vertex) || vertex.length < 3) throw wrong(call, source);
      const [x, y, z] = vertex as number[];
      for (let k = 0; k < 3; k++) positions.push(m[k] * x + m[4 + k] * y + m[8 + k] * z + m[12 + k]);
    }
    for (let k = 2; k < vertices.length; k++) triangles.push(first, first + k - 1, first + k);
  }
  if (triangles.length === 0) throw refuse(call, "this solid has no faces.");
  return {
    mesh: { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) },
    from: "this solid",
  };
}
