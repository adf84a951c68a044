import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { exportAll, threeMfOf } from "./exports.ts";
import { lib3mf } from "./tools.ts";

interface Read {
  warnings: number;
  unit: number;
  objects: {
    id: number;
    name: string;
    type: number;
    valid: boolean;
    manifold: boolean;
    triangles: number;
    volume: number;
  }[];
  items: { object: number; partnumber: string; transform: number[] }[];
}

const MILLIMETER = 1;
const MODEL = 1;

function open(path: string): Read {
  const script = join(import.meta.dirname, "read_3mf.py");
  const { status, stdout, stderr } = spawnSync("python3", [script, path], {
    encoding: "utf8",
    maxBuffer: 64 << 20,
  });
  if (status !== 0) throw new Error(`lib3mf did not open ${path}: ${stderr}`);
  return JSON.parse(stdout) as Read;
}

describe.skipIf(!lib3mf.present())("lib3mf", async () => {
  test.each(threeMfOf(await exportAll()))("opens $title with valid solids", ({ path, mold, plate }) => {
    const read = open(path);
    expect({ warnings: read.warnings, unit: read.unit }).toEqual({ warnings: 0, unit: MILLIMETER });
    const expected = mold.parts.filter((part) => plate === null || part.plate === plate);
    expect(read.objects.map(({ name }) => name)).toEqual(expected.map(({ name }) => name));
    for (const [index, object] of read.objects.entries()) {
      expect(object).toMatchObject({
        type: MODEL,
        valid: true,
        manifold: true,
        triangles: expected[index].triangles,
      });
      expect(Math.abs(object.volume / expected[index].volumeMm3 - 1)).toBeLessThan(1e-4);
    }
  });

  test.each(threeMfOf(await exportAll()))(
    "finds the plates of $title side by side",
    ({ path, mold, plate }) => {
      const read = open(path);
      const names = new Map(read.objects.map(({ id, name }) => [id, name]));
      const printed = mold.parts.filter(
        (part) => part.plate !== null && (plate === null || part.plate === plate),
      );
      expect(read.items.map(({ object }) => names.get(object))).toEqual(printed.map(({ name }) => name));
      for (const [index, { partnumber, transform: t }] of read.items.entries()) {
        const { plate: on, size, fitsBed } = printed[index];
        expect(partnumber).toBe(`plate-${on}`);
        // Three rows of four: the image of the box of a part that begins at 0.
        const corners = [0, 1].flatMap((x) => [0, 1].map((y) => [x * size[0], y * size[1]]));
        const xs = corners.map(([x, y]) => t[0] * x + t[1] * y + t[3]);
        const ys = corners.map(([x, y]) => t[4] * x + t[5] * y + t[7]);
        const left = plate === null ? (on ?? 0) * (mold.printer.bed[0] + 20) : 0;
        expect(Math.min(...xs)).toBeGreaterThanOrEqual(left + 5 - 1e-3);
        expect(Math.min(...ys)).toBeGreaterThanOrEqual(5 - 1e-3);
        expect(t[11]).toBe(0);
        if (!fitsBed) continue;
        expect(Math.max(...xs)).toBeLessThanOrEqual(left + mold.printer.bed[0] - 5 + 1e-3);
        expect(Math.max(...ys)).toBeLessThanOrEqual(mold.printer.bed[1] - 5 + 1e-3);
      }
    },
  );

  test("does not open what is not a 3MF file", () => {
    expect(() => open(join(import.meta.dirname, "read_3mf.py"))).toThrow("lib3mf did not open");
  });
});
