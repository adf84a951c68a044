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

function take(store: GeometryStore, digests: Record<string, SurfaceGeometry | undefined>): MoldView[] {
  return store.complete([mold(digests)], store.held());
}

test("a surface that comes by digest alone gets the geometry that came before", () => {
  const store = new GeometryStore();
  const a = geometry();
  take(store, { a });
  expect([...store.held().keys()]).toEqual(["a"]);
  const [again] = take(store, { a: undefined, b: geometry() });
  expect(again.surfaces[0].geometry).toBe(a);
});

test("a digest that nobody knows is a fault and not a hole in the picture", () => {
  expect(() => take(new GeometryStore(), { a: undefined })).toThrow("without geometry");
});

test("geometry that three builds have not used is forgotten", () => {
  const store = new GeometryStore();
  take(store, { a: geometry() });
  for (const digest of ["b", "c"]) take(store, { [digest]: geometry() });
  expect(store.held().has("a")).toBe(true);
  take(store, { d: geometry() });
  expect([...store.held().keys()]).toEqual(["b", "c", "d"]);
});

test("what a build was told it need not send is there when it answers, whatever answered before", () => {
  const store = new GeometryStore();
  const a = geometry();
  take(store, { a });
  const held = store.held();
  for (const digest of ["b", "c", "d"]) take(store, { [digest]: geometry() });
  const [late] = store.complete([mold({ a: undefined })], held);
  expect(late.surfaces[0].geometry).toBe(a);
});
