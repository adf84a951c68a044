import { beforeAll, describe, expect, it } from "vitest";
import { key, mold, shrink, split } from "../../../src/dsl/index.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { backOf } from "../../../src/dsl/mold/feet.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { piecesOf } from "../../../src/dsl/solid/crumbs.ts";
import { massCentreOf, volumeOf } from "../../../src/dsl/solid/measure.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { exampleMold, exampleMolds } from "./example.ts";
import { boat, bowedVase, kidney } from "./free-bodies.ts";
import { beaker, beakerMold, build, cylinder, wavedMold } from "./samples.ts";

beforeAll(loadKernel);

type Vec3 = readonly [number, number, number];
type Point = readonly [number, number];

/** The mass centre must lie this far inside the feet, mm. */
const STEADY = 5;
/** What lies this near to the lowest point touches the table, mm: the grain of the numbers. */
const TOUCHES = 0.01;

/** Mass centre of closed meshes together. */
function massCentre(meshes: readonly Mesh[]): Vec3 {
  const whole = meshes.reduce((sum, mesh) => sum + volumeOf(mesh), 0);
  const along = (k: number) =>
    meshes.reduce((sum, mesh) => sum + (volumeOf(mesh) / whole) * massCentreOf(mesh)[k], 0);
  return [along(0), along(1), along(2)];
}

const dot = (a: Vec3, b: Vec3) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/**
 * How far the mass centre stands inside the hull of what touches the table when these lie with `down`
 * downwards, mm; negative outside, −∞ where they touch in a line or a point.
 */
function steadiness(meshes: readonly Mesh[], down: Vec3): number {
  const other: Vec3 = Math.abs(down[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0];
  const cross = (a: Vec3, b: Vec3): Vec3 => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ];
  const raw = cross(other, down);
  const length = Math.hypot(...raw);
  const x: Vec3 = [raw[0] / length, raw[1] / length, raw[2] / length];
  const y = cross(down, x);
  let lowest = -Infinity;
  const each = (see: (p: Vec3) => void) => {
    for (const { positions: p } of meshes)
      for (let i = 0; i < p.length; i += 3) see([p[i], p[i + 1], p[i + 2]]);
  };
  each((p) => (lowest = Math.max(lowest, dot(p, down))));
  const feet: Point[] = [];
  each((p) => {
    if (dot(p, down) > lowest - TOUCHES) feet.push([dot(p, x), dot(p, y)]);
  });
  const centre = massCentre(meshes);
  return insideHull(hullOf(feet), [dot(centre, x), dot(centre, y)]);
}

const turn = (a: Point, b: Point, c: Point) => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

/** Convex hull, counter-clockwise. Source: Andrew, "Another efficient algorithm for convex hulls in two dimensions", Information Processing Letters 9 (1979). */
function hullOf(points: readonly Point[]): Point[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (from: readonly Point[]) => {
    const chain: Point[] = [];
    for (const point of from) {
      while (chain.length >= 2 && turn(chain[chain.length - 2], chain[chain.length - 1], point) <= 1e-9)
        chain.pop();
      chain.push(point);
    }
    return chain.slice(0, -1);
  };
  return [...half(sorted), ...half([...sorted].reverse())];
}

function insideHull(hull: readonly Point[], p: Point): number {
  if (hull.length < 3) return -Infinity;
  const gaps = hull.map((a, i) => {
    const b = hull[(i + 1) % hull.length];
    return turn(a, b, p) / Math.hypot(b[0] - a[0], b[1] - a[1]);
  });
  return Math.min(...gaps);
}

describe("how steadiness is told", () => {
  const box = (w: number, d: number, h: number): Mesh => {
    const corners = [0, 1, 2, 3, 4, 5, 6, 7].flatMap((i) => [i & 1 ? w : 0, i & 2 ? d : 0, i & 4 ? h : 0]);
    const faces = [0, 2, 3, 0, 3, 1, 4, 5, 7, 4, 7, 6, 0, 1, 5, 0, 5, 4, 2, 6, 7, 2, 7, 3];
    return {
      positions: Float64Array.from(corners),
      triangles: Uint32Array.from([...faces, 0, 4, 6, 0, 6, 2, 1, 3, 7, 1, 7, 5]),
    };
  };

  it("the mass centre of a box is its middle, of a tetrahedron the mean of its corners, wherever they are (standard geometry)", () => {
    const at = ({ positions, triangles }: Mesh, by: number[]): Mesh => ({
      positions: positions.map((value, i) => value + by[i % 3]),
      triangles,
    });
    expect(massCentreOf(at(box(40, 20, 100), [7, -90, 300]))).toEqual([
      expect.closeTo(27, 9),
      expect.closeTo(-80, 9),
      expect.closeTo(350, 9),
    ]);
    const tetrahedron = {
      positions: Float64Array.from([0, 0, 0, 8, 0, 0, 0, 12, 0, 0, 0, 20]),
      triangles: Uint32Array.from([0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3]),
    };
    expect(massCentreOf(tetrahedron)).toEqual([
      expect.closeTo(2, 9),
      expect.closeTo(3, 9),
      expect.closeTo(5, 9),
    ]);
    // 2 : 1 by volume, their middles 60 mm apart.
    expect(massCentre([box(40, 20, 100), at(box(20, 20, 100), [70, 0, 0])])[0]).toBeCloseTo(40, 9);
  });

  it("a box of 40 × 20 × 100 stands with 10 mm to spare, and on an edge not at all", () => {
    expect(steadiness([box(40, 20, 100)], [0, 0, -1])).toBeCloseTo(10, 9);
    expect(steadiness([box(40, 20, 100)], [0, -Math.SQRT1_2, -Math.SQRT1_2])).toBe(-Infinity);
  });
});

const closed: [string, () => Mold][] = [
  ["octagon beaker", () => beakerMold()],
  ["beaker on a floor", () => beakerMold({ base: "floor" })],
  ["fluted carafe", () => exampleMold("fluted-carafe")],
  ["sugar jar", () => exampleMolds("sugar-jar")[0].mold],
  ["lid of the sugar jar", () => exampleMolds("sugar-jar")[1].mold],
  ["tasting dish", () => exampleMold("tasting-dish")],
  ["waves turned 40°", () => wavedMold(40, "form")],
];

describe("the closed mold stands steady either way up", () => {
  for (const [name, make] of closed) {
    it(name, () => {
      const { model } = build(make(), "idle");
      const meshes = model.parts
        .filter((part) => part.role === "wall" || part.role === "floor")
        .map((part) => part.mesh);
      for (const down of [
        [0, 0, -1],
        [0, 0, 1],
      ] as const)
        expect(steadiness(meshes, down), `down ${down[2]}`).toBeGreaterThan(STEADY);
    });
  }
});

const inParts: [string, () => Mold][] = [
  ["fluted carafe in three", () => exampleMold("fluted-carafe")],
  ["beaker in two", () => mold(shrink(beaker(), 0.12), { press: "parts" })],
  ["beaker in four, on a floor", () => beakerMold({ press: "parts", base: "floor" })],
  [
    "beaker in eight",
    () =>
      beakerMold({
        press: "parts",
        keys: key({ shape: "ridge", size: 4 }),
        seams: split({ parts: 8, at: "corners" }),
      }),
  ],
  [
    "round in five",
    () => mold(shrink(cylinder(), 0.12), { press: "parts", seams: split({ parts: 5, at: 0 }) }),
  ],
  [
    "waves turned 40°",
    () => mold(wavedMold(40, "form").spec.body, { press: "parts", seams: split({ parts: 3, at: 3 }) }),
  ],
  ["handle in halves", () => exampleMold("beaker-handle")],
  [
    "kidney dish in two",
    () =>
      mold(shrink(kidney(), 0.12), {
        press: "parts",
        seams: split({ parts: 2, at: 90, follow: "flat" }),
      }),
  ],
  [
    "kidney dish in three, on a floor",
    () =>
      mold(shrink(kidney(), 0.12), {
        press: "parts",
        base: "floor",
        seams: split({ parts: 3, at: 92, follow: "flat" }),
      }),
  ],
  [
    "vase swept in a bow",
    () =>
      mold(shrink(bowedVase(), 0.12), { press: "parts", seams: split({ parts: 2, at: 0, follow: "flat" }) }),
  ],
  [
    "boat, its keel closed",
    () => mold(shrink(boat(), 0.12), { press: "parts", seams: split({ parts: 2, at: 0, follow: "flat" }) }),
  ],
];

describe("pressed part by part, each part lies steady on its back", () => {
  for (const [name, make] of inParts) {
    it(name, () => {
      const built = build(make(), "idle");
      expect(built.model.press).toBe("parts");
      const walls = built.model.parts.filter((one) => one.role === "wall");
      for (const part of walls) {
        // What is pulled upwards is pressed as it stands.
        const down = backOf(part.pull!) ?? ([0, 0, -1] as const);
        expect(steadiness([part.mesh], down), part.name).toBeGreaterThan(STEADY);
        // Nothing loose; a foot may close a flute off, which makes a hollow.
        expect(
          piecesOf(part.mesh).volumes.filter((volume) => volume > 0),
          part.name,
        ).toHaveLength(1);
        expect(faultOfSolid(part.mesh), part.name).toBeNull();
      }
      // Feet are counted, and in nobody's way.
      proveMold(built);
    });
  }
});
