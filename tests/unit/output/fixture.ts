import type { MoldModel, MoldPart } from "../../../src/dsl/mold/model.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { SNAP } from "../../../src/dsl/tolerances.ts";

export const UPRIGHT = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];
/** A quarter turn about x: what looked up looks to the front. */
export const ON_ITS_FACE = [1, 0, 0, 0, 0, 0, 1, 0, 0, -1, 0, 0, 0, 0, 0, 1];

const snap = (value: number) => Math.round(value / SNAP) * SNAP + 0;

/** A closed prism between z0 and z1 over a band of quads, from pairs of inner and outer points in plan, counter-clockwise. */
export function band(inner: number[][], outer: number[][], z0: number, z1: number): Mesh {
  const positions: number[] = [];
  const n = inner.length;
  for (const z of [z0, z1]) {
    for (const ring of [inner, outer]) for (const [x, y] of ring) positions.push(snap(x), snap(y), snap(z));
  }
  const at = (level: 0 | 1, ring: 0 | 1, i: number) => level * 2 * n + ring * n + i;
  const triangles: number[] = [];
  const quad = (a: number, b: number, c: number, d: number) => triangles.push(a, b, c, a, c, d);
  for (let i = 0; i + 1 < n; i++) {
    quad(at(1, 0, i), at(1, 1, i), at(1, 1, i + 1), at(1, 0, i + 1));
    quad(at(0, 0, i), at(0, 0, i + 1), at(0, 1, i + 1), at(0, 1, i));
    quad(at(0, 1, i), at(0, 1, i + 1), at(1, 1, i + 1), at(1, 1, i));
    quad(at(0, 0, i + 1), at(0, 0, i), at(1, 0, i), at(1, 0, i + 1));
  }
  quad(at(0, 0, 0), at(0, 1, 0), at(1, 1, 0), at(1, 0, 0));
  quad(at(0, 1, n - 1), at(0, 0, n - 1), at(1, 0, n - 1), at(1, 1, n - 1));
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

export function box(x: number, y: number, z: number, at: [number, number, number] = [0, 0, 0]): Mesh {
  const mesh = band(
    [
      [0, 0],
      [0, y],
    ],
    [
      [x, 0],
      [x, y],
    ],
    0,
    z,
  );
  mesh.positions.forEach((value, i) => (mesh.positions[i] = value + at[i % 3]));
  return mesh;
}

const ring = (radius: number, from: number, count: number) =>
  Array.from({ length: count }, (_, i) => {
    const angle = ((from + i) * Math.PI) / 4;
    return [radius * Math.cos(angle), radius * Math.sin(angle)];
  });

export function part(name: string, role: MoldPart["role"], mesh: Mesh, bedTurn = UPRIGHT): MoldPart {
  const walls = role === "wall";
  return {
    name,
    role,
    mesh,
    runs: [{ face: "outside", start: 0, count: mesh.triangles.length / 3, call: 0 }],
    pull: walls ? [0, 1, 0] : null,
    draftDeg: walls ? 22.5 : null,
    undercutMm2: 0,
    undercutMm: 0,
    witnesses: walls ? [{ at: [40, 0, 10], normal: [1, 0, 0], weight: 1 }] : [],
    bedTurn,
  };
}

/** An octagonal tube in two halves around a solid octagon, wide enough for one bed or too many for it. */
export function tubeMold(
  options: { name?: string; extra?: MoldPart[]; bed?: [number, number, number] } = {},
): MoldModel {
  const vessel = octagon(40, 100);
  return {
    name: options.name ?? "tube",
    call: 0,
    clay: { name: null, total: 0.125, used: 0, scale: 1 / 0.875 },
    press: "closed",
    base: "open",
    side: "outside",
    stand: "foot",
    open: "top",
    printer: {
      name: null,
      bed: options.bed ?? [220, 220, 250],
      nozzle: 0.6,
      layer: 0.3,
      lineWidth: 0.68,
      filamentDensity: 1.24,
      flow: 6,
      spread: 0,
    },
    build: {
      slab: 6,
      wall: 3.14,
      flange: { width: 14, thickness: 4 },
      rim: { width: 8 },
      bands: { count: 2, width: 10, depth: 2 },
      limits: { draft: 2, undercut: 0.5 },
      tolerance: 0.02,
    },
    fired: { size: [70, 70, 87.5], capacityMl: 240.123456789012, massG: 300 },
    wet: { size: [80, 80, 100], slabAreaMm2: 20000, massG: 420 },
    vessel: part("vessel", "vessel", vessel),
    parts: [
      part("wall-a", "wall", band(ring(40, 0, 5), ring(44, 0, 5), 0, 100), ON_ITS_FACE),
      part("wall-b", "wall", band(ring(40, 4, 5), ring(44, 4, 5), 0, 100)),
      part("cutter-base", "cutter", box(60, 60, 12, [-30, -30, 0])),
      ...(options.extra ?? []),
    ],
    seams: [
      {
        name: "A",
        parts: ["wall-b", "wall-a"],
        follow: "form",
        atDeg: 0,
        curve: [
          [40, 0, 0],
          [40, 0, 100],
        ],
      },
    ],
    keys: [
      {
        seam: "A",
        proud: "wall-a",
        hollow: "wall-b",
        shape: "cone",
        at: [42, 0, 50],
        axis: [0, -1, 0],
        size: 8,
        height: 1.66,
        clearance: 0.2,
        gap: 0.2,
        outOfStep: false,
      },
    ],
    moves: [{ part: "wall-a", direction: [0, 1, 0], mm: 60, against: ["wall-b"] }],
    undercuts: [],
  };
}

/** A closed octagonal prism standing on z = 0. */
export function octagon(radius: number, height: number): Mesh {
  const positions: number[] = [0, 0, 0, 0, 0, snap(height)];
  for (const z of [0, height])
    for (const [x, y] of ring(radius, 0, 8)) positions.push(snap(x), snap(y), snap(z));
  const triangles: number[] = [];
  for (let i = 0; i < 8; i++) {
    const [a, b] = [2 + i, 2 + ((i + 1) % 8)];
    triangles.push(0, b, a, 1, a + 8, b + 8, a, b, b + 8, a, b + 8, a + 8);
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}
