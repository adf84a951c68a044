import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { tmpdir } from "node:os";
import { describe, expect, test } from "vitest";
import { readStl, writeStl } from "../../src/dsl/output/stl.ts";
import { box } from "../unit/output/fixture.ts";
import { exportAll, partsOf } from "./exports.ts";
import { admesh } from "./tools.ts";

/** What admesh says of a file before it mends anything. */
function inspect(path: string) {
  const { stdout } = spawnSync("admesh", ["--no-check", path], { encoding: "utf8" });
  const checked = spawnSync("admesh", ["--exact", "--normal-directions", "--normal-values", path], {
    encoding: "utf8",
  }).stdout;
  const number = (text: string, pattern: RegExp) => {
    const match = pattern.exec(text);
    if (!match) throw new Error(`admesh did not say ${pattern.source}:\n${text}`);
    return Number(match[1]);
  };
  return {
    facets: number(stdout, /Number of facets\s*:\s*(\d+)/),
    openEdges: number(checked, /Total disconnected facets\s*:\s*(\d+)/),
    degenerate: number(checked, /Degenerate facets\s*:\s*(\d+)/),
    reversed: number(checked, /Facets reversed\s*:\s*(\d+)/),
    backwards: number(checked, /Backwards edges\s*:\s*(\d+)/),
    normalsMended: number(checked, /Normals fixed\s*:\s*(\d+)/),
    solids: number(checked, /Number of parts\s*:\s*(\d+)/),
    volume: number(checked, /Volume\s*:\s*(-?[\d.]+)/),
  };
}

/** The difference of a component from which admesh mends a normal. */
const MENDED = 0.001;
/**
 * Error of a normal that is reckoned in float32, times the sine of the angle at the first corner:
 * two products and their difference are rounded, in three components.
 */
const ROUNDING = 3 * Math.sqrt(3) * 2 ** -24;

type Point = [number, number, number];

/**
 * The largest error of the normals in a file, and how many facets are so thin that admesh, which
 * reckons in float32, cannot tell: there its word is about its own rounding.
 */
function normalsOf(path: string): { error: number; thin: number } {
  const bytes = readFileSync(path);
  const { positions, triangles } = readStl(bytes);
  const corner = (i: number) => [...positions.slice(3 * triangles[i], 3 * triangles[i] + 3)] as Point;
  let [error, thin] = [0, 0];
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [corner(i), corner(i + 1), corner(i + 2)];
    const [ux, uy, uz] = b.map((x, k) => x - a[k]);
    const [vx, vy, vz] = c.map((x, k) => x - a[k]);
    const cross = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const twice = Math.hypot(...cross);
    cross.forEach((x, k) => {
      const written = bytes.readFloatLE(84 + 50 * (i / 3) + 4 * k);
      error = Math.max(error, Math.abs(written - x / twice));
    });
    if ((ROUNDING * Math.hypot(ux, uy, uz) * Math.hypot(vx, vy, vz)) / twice > MENDED) thin++;
  }
  return { error, thin };
}

describe.skipIf(!admesh.present())("admesh", async () => {
  test.each(partsOf(await exportAll()))("finds nothing to mend in $title", ({ path, part }) => {
    const found = inspect(path);
    expect(found).toMatchObject({
      facets: part.triangles,
      openEdges: 0,
      degenerate: 0,
      reversed: 0,
      backwards: 0,
      solids: 1,
    });
    const { error, thin } = normalsOf(path);
    expect(error).toBeLessThan(1e-5);
    expect(found.normalsMended).toBeLessThanOrEqual(thin);
    expect(Math.abs(found.volume / part.volumeMm3 - 1)).toBeLessThan(1e-4);
  });

  test("would have seen an open edge and a reversed facet", () => {
    const folder = mkdtempSync(join(tmpdir(), "slabwright-admesh-"));
    const mesh = box(10, 20, 30);
    const open = { positions: mesh.positions, triangles: mesh.triangles.slice(3) };
    writeFileSync(join(folder, "open.stl"), writeStl(open, "open"));
    expect(inspect(join(folder, "open.stl")).openEdges).toBe(3);
    const reversed = { positions: mesh.positions, triangles: mesh.triangles.slice() };
    reversed.triangles.set([mesh.triangles[1], mesh.triangles[0]]);
    writeFileSync(join(folder, "reversed.stl"), writeStl(reversed, "reversed"));
    const found = inspect(join(folder, "reversed.stl"));
    expect(found.reversed + found.backwards).toBeGreaterThan(0);
  });
});
