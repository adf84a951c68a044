import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import type { LocatedFinding } from "../../../shared/finding.ts";
import { manifestSchema } from "../../../shared/manifest.ts";
import { buildManifest, manifestJson, steady } from "../../../src/dsl/output/manifest.ts";
import { printMold } from "../../../src/dsl/output/printed.ts";
import { KERNEL, KIT } from "../../../src/dsl/output/version.ts";
import { tubeMold } from "./fixture.ts";

const finding: LocatedFinding = {
  code: "undercut",
  severity: "error",
  args: {},
  message: "Seam A [1,\n 2]: 412 mm² undercut.",
  place: { file: "/somewhere/pots/parts/lip.ts", line: 3, column: 5, endLine: 3, endColumn: 9 },
  value: 1.8,
  limit: 0.5,
  unit: "mm",
  at: [1, 2, 1 / 3],
  fixes: [{ title: "Turn the seams to 17°", code: "fix-seams", args: {}, edits: [] }],
};

function manifest(finds: LocatedFinding[] = [finding]) {
  const model = tubeMold();
  return buildManifest({
    design: "tube",
    source: "/somewhere/pots/tube.mold.ts",
    files: [
      { path: "tube/b.stl", bytes: 2, sha256: "b".repeat(64) },
      { path: "tube/a.stl", bytes: 1, sha256: "a".repeat(64) },
    ],
    molds: [{ model, parts: printMold(model, "tube", ["stl", "3mf"]).map(({ entry }) => entry) }],
    findings: finds,
  });
}

const written = (m = manifest()) => new TextDecoder().decode(manifestJson(m));

test("it says what wrote it, as the package does", () => {
  const read = (path: string) =>
    JSON.parse(readFileSync(new URL(`../../../${path}`, import.meta.url), "utf8")) as {
      name: string;
      version: string;
    };
  const kit = read("package.json");
  const kernel = read("node_modules/manifold-3d/package.json");
  expect(KIT).toBe(`${kit.name} ${kit.version}`);
  expect(KERNEL).toBe(`${kernel.name} ${kernel.version}`);
});

test("what is written reads back the same and keeps to the schema", () => {
  expect(manifestSchema.parse(JSON.parse(written()))).toEqual(manifest());
});

test("it names no folder of this machine", () => {
  expect(written()).not.toContain("/somewhere");
  expect(manifest().source).toBe("tube.mold.ts");
  expect(manifest().findings[0].file).toBe("parts/lip.ts");
});

test("what a model holds beside the contract stays out", () => {
  const model = { ...tubeMold(), aside: 1 };
  Object.assign(model.printer, { named: true });
  Object.assign(model.seams[0], { columns: [1, 2] });
  expect(() =>
    buildManifest({ design: "x", source: "/x", files: [], molds: [{ model, parts: [] }], findings: [] }),
  ).not.toThrow();
});

test("files are sorted by path", () => {
  expect(manifest().files.map(({ path }) => path)).toEqual(["tube/a.stl", "tube/b.stl"]);
});

test("lists of numbers stand on one line and text is left alone", () => {
  expect(written()).toContain(`"size": [80, 80, 100]`);
  expect(written()).toContain(JSON.stringify(finding.message));
});

test("of a fix the manifest has the title", () => {
  expect(manifest().findings[0].fixes).toEqual([{ title: "Turn the seams to 17°" }]);
  expect(manifest([{ ...finding, fixes: [] }]).findings[0].fixes).toBeUndefined();
});

test("each part has its numbers; the vessel is closed, has no plate and costs nothing", () => {
  const [mold] = manifest().molds;
  expect(mold.parts.map(({ name }) => name)).toEqual(["wall-a", "wall-b", "cutter-base", "vessel"]);
  const cutter = mold.parts[2];
  expect(cutter).toMatchObject({
    file: "tube/parts/cutter-base.stl",
    role: "cutter",
    plate: 0,
    triangles: 12,
    volumeMm3: 43200,
    areaMm2: 2 * 3600 + 4 * 720,
    size: [60, 60, 12],
    pull: null,
    fitsBed: true,
    toMold: [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, -30, -30, 0, 1],
  });
  // 43.2 cm³ at 1.24 g/cm³ and 6 mm³/s.
  expect(cutter.filamentG).toBeCloseTo(53.568, 9);
  expect(cutter.printHours).toBeCloseTo(2, 9);
  expect(mold.parts[3]).toMatchObject({ role: "vessel", plate: null, filamentG: 0, printHours: 0 });
});

test("180 cm³ at 6 mm³/s takes 8.3333 h and 223.20 g of PLA", async () => {
  const { estimatePrint } = await import("../../../src/dsl/output/printing.ts");
  const { filamentG, printHours } = estimatePrint(180_000, { filamentDensity: 1.24, flow: 6 });
  expect(filamentG).toBeCloseTo(223.2, 10);
  expect(printHours).toBeCloseTo(8.3333, 4);
});

test("a number that is not finite does not get into a manifest", () => {
  const model = tubeMold();
  model.wet.massG = NaN;
  expect(() =>
    buildManifest({ design: "x", source: "/x", files: [], molds: [{ model, parts: [] }], findings: [] }),
  ).toThrow();
});

test("computed numbers are rounded to nine decimals without a signed zero", () => {
  expect(steady(0.1 + 0.2)).toBe(0.3);
  expect(Object.is(steady(-1e-12), 0)).toBe(true);
});
