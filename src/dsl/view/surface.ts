import { createHash } from "node:crypto";
import type { SurfaceGeometry, SurfaceView } from "../../../shared/engine.ts";
import type { Vec3 } from "../mold/model.ts";

import { boundsOf } from "../solid/measure.ts";
import type { Tagged } from "../solid/tagged.ts";
import { crispEdges } from "./crisp.ts";

const STEPS = 65535;

/** A solid as the preview draws it: 16-bit positions within its box, and its crisp edges. */
export function surfaceView(
  name: string,
  role: SurfaceView["role"],
  solid: Tagged,
  apart: Vec3 | null,
  have: ReadonlySet<string>,
): SurfaceView {
  const geometry = quantize(solid);
  const digest = digestOf(geometry);
  return { name, role, digest, apart, ...(have.has(digest) ? {} : { geometry }) };
}

function quantize({ mesh, runs }: Tagged): SurfaceGeometry {
  const { min, max } = boundsOf(mesh);
  const positions = new Uint16Array(mesh.positions.length);
  for (let i = 0; i < positions.length; i++) {
    const axis = i % 3;
    const width = max[axis] - min[axis];
    positions[i] = width > 0 ? Math.round(((mesh.positions[i] - min[axis]) / width) * STEPS) : 0;
  }
  const vertices = positions.length / 3;
  return {
    positions,
    min,
    max,
    triangles: narrow(mesh.triangles, vertices),
    edges: narrow(crispEdges(mesh), vertices),
    groups: runs.map(({ face, start, count, call }) => ({ start, count, call, label: face })),
  };
}

/** Indices of so many vertices, as narrow as they go. */
function narrow(indices: Uint32Array, vertices: number): Uint16Array | Uint32Array {
  return vertices <= 65536 ? Uint16Array.from(indices) : indices.slice();
}

function digestOf(geometry: SurfaceGeometry): string {
  const hash = createHash("sha256");
  hash.update(geometry.positions).update(geometry.triangles);
  hash.update(JSON.stringify([geometry.min, geometry.max, geometry.groups]));
  return hash.digest("hex").slice(0, 24);
}
