import { createRequire } from "node:module";
import { expect, test } from "vitest";
import { readStl, writeStl } from "../../../src/dsl/output/stl.ts";
import { volumeOf } from "../../../src/dsl/solid/measure.ts";
import { SNAP } from "../../../src/dsl/tolerances.ts";
import { box, octagon } from "./fixture.ts";

test("binary STL is 84 + 50n bytes and its header does not start with “solid”", () => {
  const bytes = writeStl(box(10, 20, 30), "solid box");
  expect(bytes.length).toBe(84 + 50 * 12);
  const header = new TextDecoder().decode(bytes.subarray(0, 80));
  expect(header.startsWith("solid")).toBe(false);
  expect(header).toContain("solid box");
  expect(new DataView(bytes.buffer).getUint32(80, true)).toBe(12);
});

test("a label outside ASCII and longer than the header is cut and replaced, not spilled", () => {
  const bytes = writeStl(box(1, 1, 1), "Krügli ".repeat(40));
  expect(bytes.length).toBe(84 + 50 * 12);
  expect(bytes.subarray(0, 80).every((code) => code < 0x7f)).toBe(true);
  expect(new DataView(bytes.buffer).getUint32(80, true)).toBe(12);
});

test("the numbers come back as they were, welded", () => {
  const mesh = octagon(40.3, 97.7);
  const back = readStl(writeStl(mesh, "vessel"));
  expect(back.positions.length).toBe(mesh.positions.length);
  const places = (positions: Float64Array) =>
    Array.from({ length: positions.length / 3 }, (_, i) =>
      positions.slice(3 * i, 3 * i + 3).join(" "),
    ).sort();
  expect(places(back.positions)).toEqual(places(mesh.positions));
  expect(volumeOf(back)).toBeCloseTo(volumeOf(mesh), 9);
});

test("float32 holds every multiple of 2⁻¹³ mm up to 2 m, and not the next finer grid", () => {
  const far = 2048 - SNAP;
  expect(Math.fround(far)).toBe(far);
  expect(Math.fround(far - SNAP / 2)).not.toBe(far - SNAP / 2);
});

test("a coordinate that float32 cannot hold throws instead of being rounded", () => {
  const mesh = box(10, 10, 10);
  mesh.positions[0] = 0.1;
  expect(() => writeStl(mesh, "box")).toThrow("0.1 mm cannot be written as float32");
});

test("normals are unit and look outward", () => {
  const bytes = writeStl(box(10, 20, 30), "box");
  const view = new DataView(bytes.buffer);
  const read = (facet: number, word: number) => view.getFloat32(84 + 50 * facet + 4 * word, true);
  for (let facet = 0; facet < 12; facet++) {
    const normal = [0, 1, 2].map((word) => read(facet, word));
    expect(Math.hypot(...normal)).toBeCloseTo(1, 6);
    const fromMiddle = [5, 10, 15].map((middle, axis) => read(facet, 3 + axis) - middle);
    expect(normal[0] * fromMiddle[0] + normal[1] * fromMiddle[1] + normal[2] * fromMiddle[2]).toBeGreaterThan(
      0,
    );
  }
});

test("what is not a whole binary STL is refused", () => {
  const bytes = writeStl(box(1, 1, 1), "box");
  expect(() => readStl(bytes.subarray(0, 40))).toThrow("only 40 bytes");
  expect(() => readStl(bytes.subarray(0, bytes.length - 1))).toThrow("12 facets take 684");
  const text = bytes.slice();
  text.set(new TextEncoder().encode("solid"));
  expect(() => readStl(text)).toThrow("starts with “solid”");
});

/** A library's writer of the same format, whose package has no types. */
interface ReferenceSerializer {
  serialize(options: { binary: true }, solid: unknown): ArrayBuffer[];
}

/**
 * The library snaps coordinates to a grid of its own on the way, up to half a thousandth of the
 * solid's size: the reason why the product does not write through it.
 */
test("facet for facet what @jscad/stl-serializer writes, which moves corners a little", () => {
  const require = createRequire(import.meta.url);
  const reference = require("@jscad/stl-serializer") as ReferenceSerializer;
  const { geometries } = require("@jscad/modeling") as typeof import("@jscad/modeling");
  const mesh = octagon(40.5, 97.75);
  const { positions: p, triangles: t } = mesh;
  const corner = (v: number): [number, number, number] => [p[3 * v], p[3 * v + 1], p[3 * v + 2]];
  const facets = Array.from({ length: t.length / 3 }, (_, f) => [
    corner(t[3 * f]),
    corner(t[3 * f + 1]),
    corner(t[3 * f + 2]),
  ]);
  const parts = reference.serialize({ binary: true }, geometries.geom3.fromPoints(facets));
  const bytes = Buffer.concat(parts.map((part) => Buffer.from(part)));
  const own = Buffer.from(writeStl(mesh, "vessel"));
  expect(own.length).toBe(bytes.length);
  expect(own.readUInt32LE(80)).toBe(bytes.readUInt32LE(80));
  for (let at = 84; at < own.length; at += 50) {
    for (let k = 0; k < 12; k++) {
      const [mine, theirs] = [own.readFloatLE(at + 4 * k), bytes.readFloatLE(at + 4 * k)];
      expect(mine).toBeCloseTo(theirs, 2);
    }
  }
});
