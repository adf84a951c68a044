import { createHash } from "node:crypto";
import type { SurfaceGeometry, SurfaceView } from "../../../shared/engine.ts";
import type { Vec3 } from "../mold/model.ts";

import { boundsOf } from "../solid/measure.ts";
import type { Tagged } from "../solid/tagged.ts";

/** Facets that meet at more than this show an edge, degrees. */
const CRISP = 30;

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
  return {
    positions,
    min,
    max,
    triangles: mesh.triangles.slice(),
    edges: crispEdges({ mesh, runs }),
    groups: runs.map(({ face, start, count, call }) => ({ start, count, call, label: face })),
  };
}

/** Vertex pairs where two facets meet at a clear angle. */
function crispEdges({ mesh }: Tagged): Uint32Array {
  const { positions: p, triangles: t } = mesh;
  const count = p.length / 3;
  const normals = new Float64Array(t.length);
  const first = new Map<number, number>();
  const edges: number[] = [];
  const least = Math.cos((CRISP * Math.PI) / 180);
  for (let f = 0; f < t.length; f += 3) {
    const [a, b, c] = [3 * t[f], 3 * t[f + 1], 3 * t[f + 2]];
    const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const length = Math.hypot(x, y, z) || 1;
    normals[f] = x / length;
    normals[f + 1] = y / length;
    normals[f + 2] = z / length;
    for (let k = 0; k < 3; k++) {
      const from = t[f + k];
      const to = t[f + ((k + 1) % 3)];
      const other = first.get(to * count + from);
      if (other === undefined) {
        first.set(from * count + to, f);
        continue;
      }
      const cos =
        normals[f] * normals[other] +
        normals[f + 1] * normals[other + 1] +
        normals[f + 2] * normals[other + 2];
      if (cos < least) edges.push(from, to);
    }
  }
  return Uint32Array.from(edges);
}

function digestOf(geometry: SurfaceGeometry): string {
  const hash = createHash("sha256");
  hash.update(geometry.positions).update(geometry.triangles);
  hash.update(JSON.stringify([geometry.min, geometry.max, geometry.groups]));
  return hash.digest("hex").slice(0, 24);
}
