import { BufferAttribute, BufferGeometry, Vector3 } from "three";
import { TeapotGeometry } from "three/examples/jsm/geometries/TeapotGeometry.js";
import { MeshBVH } from "three-mesh-bvh";
import { beforeAll, describe, expect, it } from "vitest";
import * as modeling from "@jscad/modeling";
import { loft, mold, profile, revolve, shrink, solid, split, sweep, trim } from "../../../src/dsl/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { Unbuildable } from "../../../src/dsl/mold/unbuildable.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { areaOf, boundsOf, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { exampleMold } from "./example.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

const halves = (body: Body, plane: "xz" | "yz" = "xz") =>
  mold(shrink(body, 0), { slab: "solid", seams: split.halves({ plane }) });

const bar = () =>
  sweep(
    profile.circle({ diameter: 16 }),
    [
      [0, 0, 20],
      [60, 0, 20],
    ],
    { ends: 5 },
  );

const bow = () =>
  sweep(
    profile.ellipse({ width: 16, depth: 10 }),
    [
      [0, 0, 60],
      [24, 0, 52],
      [30, 0, 30],
      [24, 0, 8],
      [0, 0, 0],
    ],
    { ends: 4 },
  );

describe("a sweep in two halves", () => {
  it("a straight bar is a cylinder of its path and its ends, V = πr²h (standard geometry)", () => {
    const { model } = build(halves(bar()));
    expect(volumeOf(model.vessel.mesh) / (Math.PI * 64 * 70)).toBeCloseTo(1, 2);
    expect(model.parts.map((part) => part.pull!.map((value) => Math.round(value * 1e6) / 1e6 + 0))).toEqual([
      [0, -1, 0],
      [0, 1, 0],
    ]);
  });

  it("a bow has the volume of its section along its way: Pappus, 2π·R·A for half a turn of radius R", () => {
    const radius = 30;
    const points = Array.from({ length: 13 }, (_, i): [number, number, number] => {
      const angle = Math.PI / 2 - (Math.PI * i) / 12;
      return [radius * Math.cos(angle), 0, radius + radius * Math.sin(angle)];
    });
    const { model } = build(halves(sweep(profile.circle({ diameter: 10 }), points, { ends: 0 })));
    expect(volumeOf(model.vessel.mesh) / (Math.PI * radius * Math.PI * 25)).toBeCloseTo(1, 2);
  });

  const samples: [string, () => ReturnType<typeof mold>][] = [
    ["straight bar", () => halves(bar())],
    ["bow", () => halves(bow())],
    ["beaker handle", () => exampleMold("beaker-handle")],
    [
      "bow that parts left and right",
      () =>
        halves(
          sweep(profile.circle({ diameter: 12 }), [
            [0, 0, 50],
            [0, 30, 40],
            [0, 30, 10],
            [0, 0, 0],
          ]),
          "yz",
        ),
    ],
  ];
  for (const [name, make] of samples) {
    it(`${name}: volumes add up, halves come off, no wall thinner than asked`, () => {
      const built = build(make());
      const proof = proveMold(built);
      expect(Math.abs(proof.differenceMm3)).toBeLessThan(1e-6 * proof.outerMm3);
      for (const part of built.model.parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
      expect(built.keys[0].keys.length).toBeGreaterThanOrEqual(2);
      const index: number[] = [];
      const positions: number[] = [];
      for (const { mesh, runs } of built.bare) {
        const first = positions.length / 3;
        positions.push(...mesh.positions);
        for (const run of runs)
          if (run.face === "outside")
            for (let i = 3 * run.start; i < 3 * (run.start + run.count); i++)
              index.push(first + mesh.triangles[i]);
      }
      const tree = treeOf(Float64Array.from(positions), Uint32Array.from(index));
      let least = Infinity;
      const { positions: p } = built.clay.mesh;
      for (let i = 0; i < p.length; i += 3)
        least = Math.min(least, tree.closestPointToPoint(new Vector3(p[i], p[i + 1], p[i + 2]))!.distance);
      // The deepest clay lies a wall from the flat back.
      expect(least).toBeGreaterThan(built.model.build.wall - 0.05);
      expect(least).toBeLessThan(built.model.build.wall + 0.05);
    });
  }

  it("the knife meets no key within the land, on the seam's own plane", () => {
    const { model, clay } = build(exampleMold("beaker-handle"));
    const tree = treeOf(clay.mesh.positions, clay.mesh.triangles);
    for (const key of model.keys) {
      const away = tree.closestPointToPoint(new Vector3(...key.at))!.distance;
      expect(away - key.size / 2).toBeGreaterThan(6.5 - 0.05);
    }
  });

  it("the clay of a trimmed handle ends on the wall of the pot", () => {
    const pot = loft([profile.circle({ diameter: 80 }).at(0), profile.circle({ diameter: 80 }).at(100)]);
    const handle = sweep(profile.circle({ diameter: 12 }), [
      [36, 0, 80],
      [62, 0, 70],
      [62, 0, 30],
      [36, 0, 20],
    ]);
    const { model } = build(halves(trim(handle, pot)));
    const { positions: p, triangles: t } = model.vessel.mesh;
    let ends = 0;
    for (const run of model.vessel.runs) {
      if (run.face !== "rim") continue;
      for (let i = 3 * run.start; i < 3 * (run.start + run.count); i++) {
        const v = 3 * t[i];
        expect(Math.hypot(p[v], p[v + 1])).toBeCloseTo(40, 1);
        ends++;
      }
    }
    expect(ends).toBeGreaterThan(0);
    for (let i = 0; i < p.length; i += 3) expect(Math.hypot(p[i], p[i + 1])).toBeGreaterThan(39.97);
  });
});

describe("what no mold can be made of", () => {
  it("a path that bends more tightly than its outline is wide", () => {
    const tight = sweep(profile.circle({ diameter: 30 }), [
      [0, 0, 0],
      [6, 0, 8],
      [0, 0, 16],
    ]);
    expect(code(() => build(halves(tight)))).toBe("body-crossing");
  });

  it("a mesh with a hole, and one that encloses nothing", () => {
    const cube = modeling.primitives.cuboid({ size: [30, 20, 10] });
    const open = { polygons: cube.polygons.slice(1), transforms: cube.transforms };
    expect(code(() => build(halves(solid(open))))).toBe("body-open");
    const flat = modeling.primitives.cuboid({ size: [0.1, 0.1, 0.1] });
    expect(code(() => build(halves(solid(flat))))).toBe("body-open");
  });

  it("a ring whose tube is thicker than its hole goes through itself, and says where and on which line", () => {
    const [around, R, r] = [48, 8, 14];
    const corner = (i: number, j: number) => {
      const [u, v] = [(2 * Math.PI * i) / around, (2 * Math.PI * j) / around];
      const out = R + r * Math.cos(v);
      return [out * Math.cos(u), out * Math.sin(u), r * Math.sin(v)];
    };
    const polygons = Array.from({ length: around * around }, (_, f) => {
      const [i, j] = [Math.floor(f / around), f % around];
      return { vertices: [corner(i, j), corner(i + 1, j), corner(i + 1, j + 1), corner(i, j + 1)] };
    });
    const caught = finding(() => build(halves(solid({ polygons }))));
    expect(caught).toMatchObject({ code: "body-crossing", variant: "mesh", target: { argument: 0 } });
    // It crosses on its axis, within √(r² − R²) of its middle (standard geometry).
    expect(Math.hypot(caught.at![0], caught.at![1])).toBeLessThan(1.5);
    expect(Math.abs(caught.at![2] - r)).toBeLessThan(Math.sqrt(r * r - R * R) + 1.5);
  });

  it("the teapot, whose spout and lid are open", () => {
    const teapot = new TeapotGeometry(30, 4).toNonIndexed();
    const at = teapot.getAttribute("position");
    const corner = (i: number) => [at.getX(i), at.getY(i), at.getZ(i)];
    const polygons = Array.from({ length: at.count / 3 }, (_, f) => ({
      vertices: [corner(3 * f), corner(3 * f + 1), corner(3 * f + 2)],
    }));
    expect(code(() => build(halves(solid({ polygons }))))).toBe("body-open");
  });

  it("a plane that goes past the clay", () => {
    const aside = sweep(profile.circle({ diameter: 10 }), [
      [0, 20, 20],
      [60, 20, 20],
    ]);
    expect(() => build(halves(aside))).toThrow(/y = 0 does not go through the clay/);
  });

  it("a solid that is not level where it is open", () => {
    const ball = modeling.primitives.sphere({ radius: 15, segments: 32 });
    expect(code(() => build(halves(solid(ball))))).toBe("rim-uneven");
  });
});

describe("a solid from elsewhere", () => {
  it("stays where it was written when it is trimmed: a lug at z 60 to 80 on a cone of radius 20 + 0.4 z", () => {
    const lug = modeling.primitives.cuboid({ size: [60, 16, 20], center: [60, 0, 70] });
    const cone = revolve(
      [
        [20, 0],
        [60, 100],
      ],
      { side: "straight" },
    );
    const { model } = build(halves(trim(solid(lug), cone)));
    const { min, max } = boundsOf(model.vessel.mesh);
    // It begins where the cone is 44 mm in radius and its flank 8 mm aside: √(44² − 8²).
    expect(min[0]).toBeCloseTo(Math.sqrt(44 * 44 - 8 * 8), 1);
    expect(max[0]).toBeCloseTo(90, 3);
    expect([min[2], max[2]]).toEqual([60, 80]);
  });

  it("a ball is opened level by a solid that holds its top", () => {
    const ball = modeling.primitives.sphere({ radius: 30, segments: 96, center: [0, 0, 30] });
    const above = modeling.primitives.cuboid({ size: [200, 200, 100], center: [0, 0, 95] });
    const { model } = build(halves(trim(solid(ball), solid(above))));
    const { max } = boundsOf(model.vessel.mesh);
    expect(max[2]).toBeCloseTo(45, 3);
    const capped = (Math.PI * 45 * 45 * (3 * 30 - 45)) / 3;
    expect(volumeOf(model.vessel.mesh) / capped).toBeCloseTo(1, 2);
  });

  it("a plate and a rod laid into it are one: 30 · 20 · 10 + 10 · 10 · 30 mm³", () => {
    const plate = modeling.primitives.cuboid({ size: [30, 20, 10], center: [0, 0, 5] });
    const rod = modeling.primitives.cuboid({ size: [10, 10, 38], center: [0, 0, 21] });
    const both = solid({ polygons: [...plate.polygons, ...rod.polygons] }, { open: "top" });
    expect(volumeOf(build(halves(both)).model.vessel.mesh)).toBeCloseTo(9000, 0);
  });

  it("a cuboid of @jscad/modeling is itself, moved and turned as it was", () => {
    const cube = modeling.transforms.translate(
      [5, 0, 100],
      modeling.primitives.cuboid({ size: [30, 20, 10] }),
    );
    const { model } = build(halves(solid(cube, { open: "top" })));
    expect(volumeOf(model.vessel.mesh)).toBeCloseTo(6000, 1);
    expect(areaOf(model.vessel.mesh)).toBeCloseTo(2 * (600 + 300 + 200), 1);
    expect(model.wet.size.map((length) => Math.round(length * 1000) / 1000)).toEqual([30, 20, 10]);
  });

  it("cracks where a corner lies on a neighbour's edge are mended", () => {
    // A box whose top is two rectangles and whose sides are whole.
    const z = 10;
    const polygons = [
      [
        [0, 0, z],
        [10, 0, z],
        [10, 20, z],
        [0, 20, z],
      ],
      [
        [10, 0, z],
        [30, 0, z],
        [30, 20, z],
        [10, 20, z],
      ],
      [
        [0, 20, 0],
        [30, 20, 0],
        [30, 0, 0],
        [0, 0, 0],
      ],
      [
        [0, 0, 0],
        [30, 0, 0],
        [30, 0, z],
        [0, 0, z],
      ],
      [
        [30, 20, 0],
        [0, 20, 0],
        [0, 20, z],
        [30, 20, z],
      ],
      [
        [30, 0, 0],
        [30, 20, 0],
        [30, 20, z],
        [30, 0, z],
      ],
      [
        [0, 20, 0],
        [0, 0, 0],
        [0, 0, z],
        [0, 20, z],
      ],
    ].map((face) => ({ vertices: face.map(([x, y, height]) => [x - 15, y, height]) }));
    const { model } = build(
      mold(shrink(solid({ polygons }), 0), { slab: "solid", seams: split.halves({ plane: "yz" }) }),
    );
    expect(volumeOf(model.vessel.mesh)).toBeCloseTo(6000, 1);
  });
});

function finding(work: () => unknown): Partial<Unbuildable["finding"]> {
  try {
    work();
  } catch (error) {
    if (error instanceof Unbuildable) return error.finding;
    throw error;
  }
  return {};
}

const code = (work: () => unknown) => finding(work).code;

function treeOf(positions: Float64Array, triangles: Uint32Array): MeshBVH {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(Float32Array.from(positions), 3));
  geometry.setIndex([...triangles]);
  return new MeshBVH(geometry, { indirect: true });
}
