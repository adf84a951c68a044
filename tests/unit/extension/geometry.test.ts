import { expect, test } from "vitest";
import type { MoldView, SurfaceGeometry } from "../../../shared/engine.ts";
import { GeometryStore } from "../../../src/extension/design/geometry.ts";

const geometry = (): SurfaceGeometry => ({
  positions: Uint16Array.of(0, 0, 0),
  min: [0, 0, 0],
  max: [1, 1, 1],
  triangles: Uint32Array.of(),
  edges: Uint32Array.of(),
  groups: [],
});

function mold(digests: Record<string, SurfaceGeometry | undefined>): MoldView {
  const surfaces = Object.entries(digests).map(([digest, known]) => {
    return { name: digest, role: "wall" as const, digest, geometry: known, apart: null };
  });
  return {
    name: "m",
    summary: "",
    fired: [1, 1, 1],
    wet: [1, 1, 1],
    surfaces,
    moves: [],
    dimensions: [],
    calls: [],
    numbers: null,
  };
}

test("a surface that comes by digest alone gets the geometry that came before", () => {
  const store = new GeometryStore();
  const a = geometry();
  store.complete([mold({ a })]);
  expect(store.digests).toEqual(["a"]);
  const [again] = store.complete([mold({ a: undefined, b: geometry() })]);
  expect(again.surfaces[0].geometry).toBe(a);
});

test("a digest that nobody knows is a fault and not a hole in the picture", () => {
  expect(() => new GeometryStore().complete([mold({ a: undefined })])).toThrow("without geometry");
});

test("geometry that three builds have not used is forgotten", () => {
  const store = new GeometryStore();
  store.complete([mold({ a: geometry() })]);
  for (const digest of ["b", "c"]) store.complete([mold({ [digest]: geometry() })]);
  expect(store.digests).toContain("a");
  store.complete([mold({ d: geometry() })]);
  expect(store.digests).toEqual(["b", "c", "d"]);
});
