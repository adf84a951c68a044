import bunny from "bunny";
import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from "three";
import { TeapotGeometry } from "three/examples/jsm/geometries/TeapotGeometry.js";
import { MeshBVH } from "three-mesh-bvh";
import { beforeAll, describe, expect, it } from "vitest";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import { solid } from "../../../src/dsl/index.ts";
import { measureUndercut } from "../../../src/dsl/leaving/undercut.ts";
import type { Vec3 } from "../../../src/dsl/leaving/vector.ts";
import { closedShells, facetSurface } from "../../../src/dsl/mold/free-mesh.ts";
import { writeStl } from "../../../src/dsl/output/stl.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { areaOf, volumeOf } from "../../../src/dsl/solid/measure.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { slabwright, workshop } from "../cli/fixture.ts";

/** The bunny of npm `bunny` as it stands there, one of its units to 10 mm. */
const SCALE = 10;
const scan: Mesh = {
  positions: Float64Array.from(bunny.positions.flat(), (value) => SCALE * value),
  triangles: Uint32Array.from(bunny.cells.flat()),
};
/** The same with z up, as a design wants it. */
const upright: Mesh = {
  positions: Float64Array.from(
    bunny.positions.flatMap(([x, y, z]) => [SCALE * x, -SCALE * z, SCALE * y]),
    Math.fround,
  ),
  triangles: scan.triangles,
};

/** The same set down on z = 0, as high as a board is written that trims it. */
const lowest = upright.positions.reduce(
  (least, value, i) => (i % 3 === 2 ? Math.min(least, value) : least),
  0,
);
const standing: Mesh = {
  ...upright,
  positions: upright.positions.map((value, i) => Math.fround(i % 3 === 2 ? value - lowest : value)),
};

beforeAll(loadKernel);

/** Its surface as `solid` takes it in: welded, closed, facing outwards. */
function broughtIn(mesh: Mesh): Mesh {
  const { positions: p, triangles: t } = mesh;
  const polygons = Array.from({ length: t.length / 3 }, (_, f) => ({
    vertices: [0, 1, 2].map((k) => [...p.subarray(3 * t[3 * f + k], 3 * t[3 * f + k] + 3)]),
  }));
  const body = solid({ polygons });
  if (body.solid?.kind !== "mesh") throw new Error("a mesh was expected");
  return closedShells(body.solid.mesh, body.solid.from, 1, body)[0];
}

describe("the Stanford bunny", () => {
  it("is closed: 1839 corners, 3674 facets, 194.2884 cubic units", () => {
    const mesh = broughtIn(scan);
    expect(mesh.positions.length / 3).toBe(1839);
    expect(mesh.triangles.length / 3).toBe(3674);
    expect(volumeOf(mesh) / SCALE ** 3).toBeCloseTo(194.2884, 4);
    const inside = { positions: scan.positions, triangles: scan.triangles.slice().reverse() };
    expect(volumeOf(broughtIn(inside)) / SCALE ** 3).toBeCloseTo(194.2884, 4);
  });

  // Shares found with rays from 36 places of each facet, another program's rays: 18.33, 20.19, 9.67 %.
  it.each([
    [0, 18.6],
    [1, 20.2],
    [2, 9.7],
  ])("axis %i: %d per cent of its area stay hidden from a mold of two parts", (axis, percent) => {
    const mesh = broughtIn(scan);
    const surface = facetSurface(mesh);
    const shares = ([1, -1] as const).map((sign) => {
      const m: Vec3 = [0, 0, 0];
      m[axis] = sign;
      const own = surface.triangles.filter((corner) => sign * surface.normals[3 * corner + axis] > 0);
      return measureUndercut(mesh, { ...surface, triangles: own }, m).areaMm2;
    });
    const found = (100 * (shares[0] + shares[1])) / areaOf(mesh);
    expect(Math.abs(found - percent)).toBeLessThan(0.35);
    expect(Math.abs(found - hiddenByRays(mesh, axis))).toBeLessThan(0.15);
  });
});

/** Share of the area, %, from which neither way along an axis leads out: a ray from each of nine places of each facet. */
function hiddenByRays({ positions: p, triangles: t }: Mesh, axis: number): number {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(Float32Array.from(p), 3));
  geometry.setIndex([...t]);
  const tree = new MeshBVH(geometry, { indirect: true });
  const n = 3;
  const places: [number, number][] = [];
  for (let i = 0; i < n; i++)
    for (let j = 0; i + j < n; j++) {
      places.push([(i + 1 / 3) / n, (j + 1 / 3) / n]);
      if (i + j < n - 1) places.push([(i + 2 / 3) / n, (j + 2 / 3) / n]);
    }
  const at = (v: number) => new Vector3(p[3 * v], p[3 * v + 1], p[3 * v + 2]);
  let [hidden, whole] = [0, 0];
  for (let f = 0; f < t.length; f += 3) {
    const [a, b, c] = [at(t[f]), at(t[f + 1]), at(t[f + 2])];
    const normal = b.clone().sub(a).cross(c.clone().sub(a));
    const area = normal.length() / 2;
    normal.normalize();
    const way = new Vector3().setComponent(axis, normal.getComponent(axis) < 0 ? -1 : 1);
    const blocked = places.filter(([u, v]) => {
      const from = a.clone().multiplyScalar(1 - u - v);
      from.addScaledVector(b, u).addScaledVector(c, v).addScaledVector(normal, 0.02);
      return tree.raycast(new Ray(from, way), DoubleSide).some(({ distance }) => distance > 0.05);
    }).length;
    whole += area;
    hidden += (area * blocked) / places.length;
  }
  return (100 * hidden) / whole;
}

const engine = new Engine(parts, () => undefined);
let id = 0;

/** Checks a design beside which a mesh lies as `part.stl`. */
async function check(mesh: Mesh | Uint8Array, text: string) {
  using shop = workshop({ "figure.mold.ts": text });
  writeFileSync(
    join(shop.cwd, "part.stl"),
    mesh instanceof Uint8Array ? mesh : Buffer.from(writeStl(mesh, "part")),
  );
  const { status, out } = await slabwright(["check", "figure.mold.ts", "--json"], {
    cwd: shop.cwd,
    engine: {
      build: (request) => engine.build({ type: "build", id: ++id, ...request }),
      exportDesign: (request) => engine.export({ type: "export", id: ++id, ...request }),
    },
  });
  const { findings } = JSON.parse(out) as {
    findings: { code: string; line: number; severity: string; value: number; message: string }[];
  };
  return { status, findings };
}

const halved = (
  body: string,
) => `import { loft, mold, profile, shrink, solid, split, trim } from "slabwright";
const sheet = profile.rounded({ width: 300, depth: 300, corner: 5 });
const board = loft([sheet.at(0), sheet.at(4)]);
const figure = ${body};
export default mold(shrink(figure, 0.1), { slab: "solid", seams: split.halves({ plane: "xz" }) });
`;

describe("a mesh file beside a design", () => {
  it("the teapot is open on the line of solid(…)", async () => {
    const geometry = new TeapotGeometry(30).toNonIndexed();
    const positions = Float64Array.from(geometry.getAttribute("position").array);
    const teapot = { positions, triangles: Uint32Array.from({ length: positions.length / 3 }, (_, i) => i) };
    const { status, findings } = await check(teapot, halved(`solid("part.stl")`));
    expect(status).toBe(1);
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({ code: "body-open", severity: "error", line: 4, value: 160 });
    expect(findings[0].message).toMatch(/^part\.stl is not closed, so it holds no clay: 160 edges/);
  });

  it("the bunny has no flat to open it at, and one where it is trimmed", async () => {
    const uneven = await check(upright, halved(`solid("part.stl", { open: "bottom" })`));
    expect(uneven.findings).toMatchObject([{ code: "rim-uneven", line: 4 }]);
    const trimmed = await check(standing, halved(`trim(solid("part.stl", { open: "bottom" }), board)`));
    expect(trimmed.status).toBe(1);
    expect(
      new Set(trimmed.findings.filter(({ severity }) => severity === "error").map((f) => f.code)),
    ).toEqual(new Set(["undercut"]));
  });
});
