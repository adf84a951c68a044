import { describe, expect, test } from "vitest";
import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from "three";
import { MeshBVH } from "three-mesh-bvh";
import { RAY_LIFT, RAY_NEAR, SolidView } from "../../../src/dsl/leaving/solid-view.ts";
import { squareTo, type Vec3 } from "../../../src/dsl/leaving/vector.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { normalize, randomFrom, randomUnit } from "./random.ts";
import { facetsOf, ringBody, steps } from "./shapes.ts";

/** A body with waves, a waist and a twist of its own for each seed. */
function randomBody(seed: number): Mesh {
  const random = randomFrom(seed);
  const [waves, deep, waist, twist] = [
    3 + Math.floor(random() * 8),
    random() * 5,
    random() * 8,
    random() * 60 - 30,
  ];
  return ringBody(
    steps(0, 80, 24),
    96,
    (angle, z) => 35 + deep * Math.cos(waves * angle) + waist * Math.cos(z / 9),
    (z) => (twist * z) / 80,
  );
}

/** The same questions asked of a tree of boxes, as rays in any direction. */
function tree(mesh: Mesh) {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(mesh.positions.slice(), 3));
  geometry.setIndex(new BufferAttribute(mesh.triangles.slice(), 1));
  const bvh = new MeshBVH(geometry, { indirect: true });
  return (from: number[], m: Vec3) =>
    bvh
      .raycast(new Ray(new Vector3(...from), new Vector3(...m)), DoubleSide)
      .map((hit) => ({ distance: hit.distance, entering: hit.face!.normal.dot(new Vector3(...m)) < 0 }));
}

describe("parallel rays agree with rays through a tree of boxes", () => {
  let shadowed = 0;
  let asked = 0;
  test.each(Array.from({ length: 20 }, (_, i) => i + 1))("seed %i: shadowed or not", (seed) => {
    const random = randomFrom(seed * 77);
    const body = randomBody(seed);
    const cast = tree(body);
    const m = seed % 3 === 0 ? normalize([random() - 0.5, random() - 0.5, 0]) : randomUnit(random);
    const view = new SolidView(body, m);
    const { positions: p, normals: n } = facetsOf(body, () => true);
    for (let k = 0; k < 300; k++) {
      const f = Math.floor(random() * (p.length / 9));
      const normal: Vec3 = [n[9 * f], n[9 * f + 1], n[9 * f + 2]];
      if (Math.abs(normal[0] * m[0] + normal[1] * m[1] + normal[2] * m[2]) < 0.01) continue;
      const at = [0, 1, 2].map(
        (axis) => (p[9 * f + axis] + p[9 * f + 3 + axis] + p[9 * f + 6 + axis]) / 3,
      ) as Vec3;
      const start = at.map((c, axis) => c + RAY_LIFT * normal[axis]);
      const expected = cast(start, m).some((hit) => hit.entering && hit.distance > RAY_NEAR);
      expect(view.isShadowed(at, normal)).toBe(expected);
      asked++;
      if (expected) shadowed++;
    }
  });
  test("both answers were common", () => {
    expect(shadowed).toBeGreaterThan(0.2 * asked);
    expect(shadowed).toBeLessThan(0.8 * asked);
  });

  test.each(Array.from({ length: 20 }, (_, i) => i + 101))(
    "seed %i: the first free place sideways",
    (seed) => {
      const random = randomFrom(seed * 77);
      const body = randomBody(seed);
      const cast = tree(body);
      const m = randomUnit(random);
      const view = new SolidView(body, m);
      const [first, second] = squareTo(m);
      for (let k = 0; k < 12; k++) {
        const angle = 2 * Math.PI * random();
        const d = first.map((c, axis) => Math.cos(angle) * c + Math.sin(angle) * second[axis]) as Vec3;
        const at: Vec3 = [20 * (random() - 0.5), 20 * (random() - 0.5), 10 + 60 * random()];
        const found = view.firstFree(at, d);
        const blocked = (way: number) =>
          cast(
            at.map((c, axis) => c + way * d[axis]),
            m,
          ).some((hit) => hit.distance > RAY_NEAR);
        for (let way = 0.013; way < found - 0.01; way += 0.37) expect(blocked(way)).toBe(true);
        expect(blocked(found + 0.002)).toBe(false);
      }
    },
  );
});

describe("facets passed over as free are free", () => {
  test.each(Array.from({ length: 20 }, (_, i) => i + 201))("seed %i", (seed) => {
    const random = randomFrom(seed);
    const body = randomBody(seed);
    const m = randomUnit(random);
    const view = new SolidView(body, m);
    const { positions, normals, triangles } = facetsOf(body, () => true);
    const rays = new SolidView(
      { positions: positions.map((c, i) => c + RAY_LIFT * normals[i]), triangles },
      m,
    ).view;
    let free = 0;
    for (let f = 0; f < triangles.length / 3; f++) {
      const normal: Vec3 = [normals[9 * f], normals[9 * f + 1], normals[9 * f + 2]];
      if (normal[0] * m[0] + normal[1] * m[1] + normal[2] * m[2] < 0) continue;
      if (view.mayBeShadowed(rays, 3 * f, 3 * f + 1, 3 * f + 2)) continue;
      free++;
      for (let k = 0; k < 4; k++) {
        const [s, t] = [0.05 + 0.4 * random(), 0.05 + 0.4 * random()];
        const at = [0, 1, 2].map(
          (axis) =>
            (1 - s - t) * positions[9 * f + axis] +
            s * positions[9 * f + 3 + axis] +
            t * positions[9 * f + 6 + axis],
        ) as Vec3;
        expect(view.isShadowed(at, normal)).toBe(false);
      }
    }
    expect(free).toBeGreaterThan(300);
  });
});
