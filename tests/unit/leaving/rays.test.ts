import { describe, expect, test } from "vitest";
import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from "three";
import { MeshBVH } from "three-mesh-bvh";
import { FacingArea } from "../../../src/dsl/leaving/facing-area.ts";
import { WRONG } from "../../../src/dsl/leaving/facing.ts";
import { RAY_LIFT, RAY_NEAR, SolidView } from "../../../src/dsl/leaving/solid-view.ts";
import { findUndercut } from "../../../src/dsl/leaving/undercut.ts";
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

/** Whether a ray from the surface meets clay. */
function isShadowed(view: SolidView, at: Vec3, normal: Vec3): boolean {
  const lifted = at.map((c, axis) => c + RAY_LIFT * normal[axis]) as Vec3;
  return view.meetsAhead(...view.place(lifted));
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
      expect(isShadowed(view, at, normal)).toBe(expected);
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

describe("what is in the way, asked of single rays through the tree of boxes (three-mesh-bvh)", () => {
  const RAYS = 4000;
  test.each(Array.from({ length: 20 }, (_, i) => i + 301))("seed %i", (seed) => {
    const random = randomFrom(seed);
    const body = randomBody(seed);
    const cast = tree(body);
    const m = normalize([1, 0.6 * random() - 0.3, 0.8 * random() - 0.4]);
    const facets = facetsOf(body, (middle, normal) => middle[0] > 0 && Math.abs(normal[2]) < 0.9);
    const { positions: p, normals: n, triangles } = facets;
    const areas = Array.from({ length: triangles.length / 3 }, (_, f) => areaOf(p, f));
    const upTo: number[] = [];
    areas.reduce((sum, area) => upTo[upTo.push(sum + area) - 1], 0);
    const whole = upTo[upTo.length - 1];
    let inTheWay = 0;
    for (let k = 0; k < RAYS; k++) {
      const f = upTo.findIndex((sum) => sum > (whole * (k + random())) / RAYS);
      let [s, t] = [random(), random()];
      if (s + t > 1) [s, t] = [1 - s, 1 - t];
      const normal: Vec3 = [n[9 * f], n[9 * f + 1], n[9 * f + 2]];
      const start = [0, 1, 2].map(
        (axis) =>
          (1 - s - t) * p[9 * f + axis] +
          s * p[9 * f + 3 + axis] +
          t * p[9 * f + 6 + axis] +
          RAY_LIFT * normal[axis],
      );
      const isWrong = normal[0] * m[0] + normal[1] * m[1] + normal[2] * m[2] < WRONG;
      if (isWrong || cast(start, m).some((hit) => hit.entering && hit.distance > RAY_NEAR)) inTheWay++;
    }
    const found = findUndercut(body, facets, m).areaMm2;
    const share = inTheWay / RAYS;
    // Rays spread evenly over the surface err less than as many thrown at random.
    const error = 3 * Math.sqrt((share * (1 - share)) / RAYS) + 1e-3;
    expect(Math.abs(found / whole - share)).toBeLessThan(error);
    expect(found).toBeGreaterThanOrEqual(new FacingArea(facets).along(m).area - 1e-6);
  });
});

/** Area of a facet with corners of its own. */
function areaOf(p: Float64Array, f: number): number {
  const [a, b, c] = [0, 3, 6].map((k) => new Vector3(p[9 * f + k], p[9 * f + k + 1], p[9 * f + k + 2]));
  return b.sub(a).cross(c.sub(a)).length() / 2;
}

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
        expect(isShadowed(view, at, normal)).toBe(false);
      }
    }
    expect(free).toBeGreaterThan(300);
  });
});
