import { beforeAll, describe, expect, it } from "vitest";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { crispEdges } from "../../../src/dsl/view/crisp.ts";
import { surfaceView } from "../../../src/dsl/view/surface.ts";
import { beakerMold, build } from "../mold/samples.ts";

beforeAll(loadKernel);

const none = new Set<string>();

/** Every pair of facets with a common edge, looked at one by one. */
function slowly({ positions: p, triangles: t }: Mesh): string[] {
  const normal = (f: number) => {
    const [a, b, c] = [0, 1, 2].map((k) => [0, 1, 2].map((axis) => p[3 * t[f + k] + axis]));
    const u = b.map((value, axis) => value - a[axis]);
    const v = c.map((value, axis) => value - a[axis]);
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    return n.map((value) => value / Math.hypot(...n));
  };
  const facets = new Map<string, number>();
  for (let f = 0; f < t.length; f += 3)
    for (let k = 0; k < 3; k++) facets.set(`${t[f + k]} ${t[f + ((k + 1) % 3)]}`, f);
  const edges: string[] = [];
  for (const [edge, f] of facets) {
    const [from, to] = edge.split(" ").map(Number);
    const g = facets.get(`${to} ${from}`);
    if (g === undefined || from > to) continue;
    const cos = normal(f).reduce((sum, value, axis) => sum + value * normal(g)[axis], 0);
    if (cos < Math.cos(Math.PI / 6)) edges.push(`${from} ${to}`);
  }
  return edges.sort();
}

describe("a surface as the preview draws it", () => {
  it("crisp edges are those of facets that meet at more than 30°", () => {
    const { mesh } = build(beakerMold(), "typing").model.parts[0];
    const found = crispEdges(mesh);
    const pairs = Array.from({ length: found.length / 2 }, (_, i) => [found[2 * i], found[2 * i + 1]]);
    const sorted = pairs.map(([a, b]) => `${Math.min(a, b)} ${Math.max(a, b)}`).sort();
    expect(sorted.length).toBeGreaterThan(100);
    expect(sorted).toEqual(slowly(mesh));
  });

  it("positions are within half a step of 1/65535 of the box; indices are 16 bits", () => {
    const part = build(beakerMold(), "typing").model.parts[0];
    const { geometry } = surfaceView("wall-a", "wall", part, part.pull, none);
    if (!geometry) throw new Error("no geometry");
    expect(geometry.triangles).toBeInstanceOf(Uint16Array);
    expect(geometry.edges).toBeInstanceOf(Uint16Array);
    for (let i = 0; i < geometry.positions.length; i++) {
      const axis = i % 3;
      const width = geometry.max[axis] - geometry.min[axis];
      const at = (geometry.positions[i] / 65535) * width + geometry.min[axis];
      expect(Math.abs(at - part.mesh.positions[i])).toBeLessThanOrEqual(width / 65535 / 2 + 1e-9);
    }
  });

  it("more vertices than 16 bits hold get 32", () => {
    const count = 70_000;
    const positions = Float64Array.from({ length: 3 * count }, (_, i) => i % 251);
    const mesh = { positions, triangles: Uint32Array.of(0, 1, 2, 69_999, 69_998, 69_997) };
    const runs = [{ face: "cavity" as const, start: 0, count: 2, call: 0 }];
    const { geometry } = surfaceView("vessel", "vessel", { mesh, runs }, null, none);
    expect(geometry?.triangles).toEqual(mesh.triangles);
    expect(geometry?.triangles).not.toBe(mesh.triangles);
  });

  it("what the asker holds comes without geometry", () => {
    const part = build(beakerMold(), "typing").model.parts[0];
    const { digest } = surfaceView("wall-a", "wall", part, part.pull, none);
    expect(surfaceView("wall-a", "wall", part, part.pull, new Set([digest])).geometry).toBeUndefined();
  });
});
