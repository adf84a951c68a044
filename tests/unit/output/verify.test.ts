import { expect, test } from "vitest";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { openEdges } from "../../../src/dsl/solid/measure.ts";
import { weld, weldCorners } from "../../../src/dsl/output/weld.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { box, octagon } from "./fixture.ts";

const flipped = ({ positions, triangles }: Mesh): Mesh => ({ positions, triangles: triangles.toReversed() });

test("sound solids pass", () => {
  expect(faultOfSolid(box(10, 20, 30), 6000)).toBeNull();
  expect(faultOfSolid(octagon(40, 100))).toBeNull();
});

test("a missing facet leaves three open edges", () => {
  const { positions, triangles } = box(10, 20, 30);
  const open = { positions, triangles: triangles.slice(3) };
  expect(openEdges(open)).toBe(3);
  expect(faultOfSolid(open)).toContain("3 edges");
});

test("one facet the wrong way round is a fault, all of them are a negative volume", () => {
  const mesh = box(10, 20, 30);
  const one = { positions: mesh.positions, triangles: mesh.triangles.slice() };
  one.triangles.set([one.triangles[1], one.triangles[0]]);
  expect(faultOfSolid(one)).toContain("edges");
  expect(faultOfSolid(flipped(mesh))).toContain("-6000 mm³");
});

test("two boxes that touch along an edge share it four times and are refused once welded", () => {
  const a = box(10, 10, 10);
  const b = box(10, 10, 10, [10, 10, 0]);
  const both: Mesh = {
    positions: Float64Array.from([...a.positions, ...b.positions]),
    triangles: Uint32Array.from([...a.triangles, ...b.triangles.map((v) => v + a.positions.length / 3)]),
  };
  expect(openEdges(both)).toBe(0);
  expect(faultOfSolid(weld(both))).toContain("edges");
});

test("a facet under 1e-7 mm² is a fault", () => {
  const mesh = box(10, 10, 10);
  mesh.positions.forEach((value, i) => (mesh.positions[i] = value * 3e-5));
  expect(faultOfSolid(mesh)).toContain("a facet has only");
});

test("a volume more than a millionth from the stated one is a fault", () => {
  expect(faultOfSolid(box(10, 20, 30), 6000.007)).toContain("was stated");
  expect(faultOfSolid(box(10, 20, 30), 6000.005)).toBeNull();
});

test("nothing at all is a fault", () => {
  expect(faultOfSolid({ positions: new Float64Array(), triangles: new Uint32Array() })).toBe(
    "it has no facets",
  );
});

test("welding takes -0 for 0 and keeps everything else apart", () => {
  const mesh = weldCorners([0, 0, 0, 1, 0, 0, 0, 1, 0, -0, 0, 0, 0, 1, 0, 2 ** -13, 1, 0]);
  expect([...mesh.triangles]).toEqual([0, 1, 2, 0, 2, 3]);
});
