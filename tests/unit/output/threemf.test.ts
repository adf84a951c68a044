import { afterEach, expect, test } from "vitest";
import { strFromU8, unzipSync } from "fflate";
import { read3mf } from "../../../src/dsl/output/threemf-read.ts";
import { write3mf, type ThreeMfObject } from "../../../src/dsl/output/threemf.ts";
import { box, octagon } from "./fixture.ts";

const zone = process.env["TZ"];
afterEach(() => {
  if (zone === undefined) delete process.env["TZ"];
  else process.env["TZ"] = zone;
});

const objects: ThreeMfObject[] = [
  {
    name: 'wall-a "<&>"',
    mesh: octagon(40.3, 97.7),
    size: [80, 80, 97.7],
    placement: { plate: 0, x: 5, y: 5, turned: false },
  },
  {
    name: "floor",
    mesh: box(30, 20, 10),
    size: [30, 20, 10],
    placement: { plate: 2, x: 7, y: 9, turned: true },
  },
  { name: "vessel", mesh: box(5, 5, 5), size: [5, 5, 5], placement: null },
];

test("names, numbers and places come back as they were", () => {
  const model = read3mf(write3mf(objects, { title: "tube", bedWidth: 220 }));
  expect(model.unit).toBe("millimeter");
  expect(model.objects.map(({ name }) => name)).toEqual(objects.map(({ name }) => name));
  model.objects.forEach(({ mesh }, i) => expect(mesh).toEqual(objects[i].mesh));
  expect(model.items).toEqual([
    { object: objects[0].name, partnumber: "plate-0", transform: [1, 0, 0, 0, 1, 0, 0, 0, 1, 5, 5, 0] },
    {
      object: "floor",
      partnumber: "plate-2",
      transform: [0, 1, 0, -1, 0, 0, 0, 0, 1, 2 * 240 + 7 + 20, 9, 0],
    },
  ]);
});

test("the vessel is there to be looked at and is not built", () => {
  const model = read3mf(write3mf(objects, { title: "tube" }));
  expect(model.objects.map(({ name }) => name)).toContain("vessel");
  expect(model.items.map(({ object }) => object)).toEqual([objects[0].name, "floor"]);
});

test("the package holds the three parts of the core specification", () => {
  const files = unzipSync(write3mf(objects, { title: "a & b" }));
  expect(Object.keys(files)).toEqual(["[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"]);
  expect(strFromU8(files["3D/3dmodel.model"])).toContain(`<metadata name="Title">a &amp; b</metadata>`);
});

test("the bytes do not depend on the hour or the time zone", () => {
  process.env["TZ"] = "Pacific/Auckland";
  const there = write3mf(objects, { title: "tube" });
  process.env["TZ"] = "America/Los_Angeles";
  expect(new Date(2024, 0, 1).getTimezoneOffset()).toBe(480);
  expect(write3mf(objects, { title: "tube" })).toEqual(there);
});

test("a coordinate that is not a number cannot be written", () => {
  const mesh = box(1, 1, 1);
  mesh.positions[4] = NaN;
  expect(() => write3mf([{ ...objects[2], mesh }], { title: "x" })).toThrow("NaN");
});

test("a file with a part missing, or an index out of range, is refused", () => {
  expect(() => read3mf(new Uint8Array([1, 2, 3]))).toThrow();
  const mesh = { positions: box(1, 1, 1).positions, triangles: Uint32Array.from([0, 1, 99]) };
  expect(() => read3mf(write3mf([{ ...objects[2], mesh }], { title: "x" }))).toThrow("no vertex 99");
});
