import type { Mesh } from "./mesh.ts";

/** Enclosed volume, mm³; negative when the mesh faces inwards. Σ p·(q×r)/6. */
export function volumeOf(mesh: Mesh): number {
  const { positions: p, triangles: t } = mesh;
  let sum = 0;
  for (let i = 0; i < t.length; i += 3) {
    const a = 3 * t[i];
    const b = 3 * t[i + 1];
    const c = 3 * t[i + 2];
    sum +=
      p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) +
      p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]) +
      p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c]);
  }
  return sum / 6;
}

/** Mass centre of what a closed mesh encloses, mm: Σ (p·(q×r)/6)·(p+q+r)/4 over its volume. */
export function massCentreOf(mesh: Mesh): [number, number, number] {
  const { positions: p, triangles: t } = mesh;
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]];
    const six =
      p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) +
      p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]) +
      p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c]);
    for (let k = 0; k < 3; k++) sum[k] += (six * (p[a + k] + p[b + k] + p[c + k])) / 24;
  }
  const volume = volumeOf(mesh);
  return [sum[0] / volume, sum[1] / volume, sum[2] / volume];
}

/** Surface area, mm². */
export function areaOf(mesh: Mesh): number {
  let sum = 0;
  for (let i = 0; i < mesh.triangles.length; i += 3) sum += facetArea(mesh, i);
  return sum;
}

/** Area of the facet whose indices start at `i`, mm². */
export function facetArea(mesh: Mesh, i: number): number {
  const [x, y, z] = facetCross(mesh, i);
  return Math.sqrt(x * x + y * y + z * z) / 2;
}

/** Twice the area times the outward unit normal of the facet whose indices start at `i`. */
export function facetCross({ positions: p, triangles: t }: Mesh, i: number): [number, number, number] {
  const a = 3 * t[i];
  const b = 3 * t[i + 1];
  const c = 3 * t[i + 2];
  const ux = p[b] - p[a];
  const uy = p[b + 1] - p[a + 1];
  const uz = p[b + 2] - p[a + 2];
  const vx = p[c] - p[a];
  const vy = p[c + 1] - p[a + 1];
  const vz = p[c + 2] - p[a + 2];
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

/** Least and greatest corner, mm. */
export function boundsOf(mesh: Mesh): { min: [number, number, number]; max: [number, number, number] } {
  const min: [number, number, number] = [Infinity, Infinity, Infinity];
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < mesh.positions.length; i++) {
    const axis = i % 3;
    const value = mesh.positions[i];
    if (value < min[axis]) min[axis] = value;
    if (value > max[axis]) max[axis] = value;
  }
  return { min, max };
}

/** Edges that are not used once in each direction: 0 for a closed mesh. */
export function openEdges(mesh: Mesh): number {
  const balance = new Map<number, number>();
  const count = mesh.positions.length / 3;
  const { triangles: t } = mesh;
  for (let i = 0; i < t.length; i += 3) {
    for (let k = 0; k < 3; k++) {
      const a = t[i + k];
      const b = t[i + ((k + 1) % 3)];
      const key = a < b ? a * count + b : b * count + a;
      // Forward uses count 1, backward 2¹⁶, so that 2 + 2 is told apart from 1 + 1.
      balance.set(key, (balance.get(key) ?? 0) + (a < b ? 1 : 65536));
    }
  }
  let open = 0;
  for (const uses of balance.values()) if (uses !== 65537) open++;
  return open;
}

/** Least and greatest extent along a direction, mm. */
export function boundsAlong(mesh: Mesh, m: readonly [number, number, number]): { min: number; max: number } {
  const { positions: p } = mesh;
  let min = Infinity;
  let max = -Infinity;
  for (let i = 0; i < p.length; i += 3) {
    const along = p[i] * m[0] + p[i + 1] * m[1] + p[i + 2] * m[2];
    if (along < min) min = along;
    if (along > max) max = along;
  }
  return { min, max };
}
