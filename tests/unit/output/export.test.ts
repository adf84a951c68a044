import { mkdir, mkdtemp, readdir, readFile, rename, rm, symlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { manifestSchema } from "../../../shared/manifest.ts";
import { exportMolds, type ExportInput } from "../../../src/dsl/output/export.ts";
import { filesIn, occupantOf, sha256 } from "../../../src/dsl/output/folder.ts";
import { readStl } from "../../../src/dsl/output/stl.ts";
import { read3mf } from "../../../src/dsl/output/threemf-read.ts";
import { box, part, tubeMold } from "./fixture.ts";

let out: string;
beforeEach(async () => {
  out = await mkdtemp(join(tmpdir(), "slabwright-export-"));
});
afterEach(() => rm(out, { recursive: true, force: true }));

const run = (changes: Partial<ExportInput> = {}) =>
  exportMolds({
    design: "tube",
    source: "/pots/tube.mold.ts",
    molds: [tubeMold()],
    findings: [],
    out,
    formats: [],
    ...changes,
  });

const contents = async (folder: string) =>
  Object.fromEntries(
    await Promise.all(
      (await filesIn(folder)).map(
        async (path) => [path, sha256(await readFile(join(folder, path)))] as const,
      ),
    ),
  );

const manifestOf = async (folder: string) =>
  manifestSchema.parse(JSON.parse(await readFile(join(folder, "manifest.json"), "utf8")));

test("every file is listed with its bytes and hash, and nothing else is there", async () => {
  const result = await run();
  expect(result.folder).toBe(join(out, "tube"));
  const manifest = await manifestOf(join(out, "tube"));
  const found = await contents(join(out, "tube"));
  const { "manifest.json": own, ...others } = found;
  expect(own).toBeDefined();
  expect(Object.fromEntries(manifest.files.map(({ path, sha256 }) => [path, sha256]))).toEqual(others);
  for (const { path, bytes } of manifest.files) {
    expect((await readFile(join(out, "tube", path))).length).toBe(bytes);
  }
  expect(await readdir(out)).toEqual(["tube"]);
  expect(Object.keys(others)).toEqual([
    "tube/parts/cutter-base.stl",
    "tube/parts/vessel.stl",
    "tube/parts/wall-a.stl",
    "tube/parts/wall-b.stl",
    "tube/tube.3mf",
  ]);
});

test("the same design gives the same bytes, there and elsewhere, then and now", async () => {
  await run();
  const first = await contents(join(out, "tube"));
  await run();
  expect(await contents(join(out, "tube"))).toEqual(first);
  await run({ out: join(out, "deeper/still"), source: "/other/place/tube.mold.ts" });
  expect(await contents(join(out, "deeper/still/tube"))).toEqual(first);
});

test("several plates get a file each beside the whole", async () => {
  const extra = [0, 1, 2].map((n) => part(`block-${n}`, "rail", box(180, 180, 10)));
  await run({ molds: [tubeMold({ extra })] });
  const manifest = await manifestOf(join(out, "tube"));
  const plates = new Map(manifest.molds[0].parts.map(({ name, plate }) => [name, plate]));
  const names = (await filesIn(join(out, "tube/tube"))).filter((path) => path.endsWith(".3mf"));
  const used = [...new Set(plates.values())].filter((plate) => plate !== null);
  expect(used.length).toBeGreaterThanOrEqual(4);
  expect(names).toEqual(["tube.3mf", ...used.map((plate) => `tube-plate${plate}.3mf`)].sort());
  for (const plate of used) {
    const { objects, items } = read3mf(await readFile(join(out, `tube/tube/tube-plate${plate}.3mf`)));
    expect(objects.map(({ name }) => plates.get(name))).toEqual(objects.map(() => plate));
    expect(items.length).toBe(objects.length);
  }
});

test("the STL of a part, led back by toMold, is the part in the mold", async () => {
  await run();
  const mold = tubeMold();
  const manifest = await manifestOf(join(out, "tube"));
  for (const { name, file, toMold: m } of manifest.molds[0].parts) {
    const { positions } = readStl(await readFile(join(out, "tube", file ?? "")));
    const back: string[] = [];
    for (let i = 0; i < positions.length; i += 3) {
      const [x, y, z] = positions.subarray(i, i + 3);
      back.push([0, 1, 2].map((r) => m[r] * x + m[4 + r] * y + m[8 + r] * z + m[12 + r]).join(" "));
    }
    const source = [...mold.parts, mold.vessel].find((candidate) => candidate.name === name);
    const expected = Array.from({ length: (source?.mesh.positions.length ?? 0) / 3 }, (_, i) =>
      [...(source?.mesh.positions.subarray(3 * i, 3 * i + 3) ?? [])].join(" "),
    );
    expect(back.sort()).toEqual(expected.sort());
  }
});

test("only the formats that were asked for are written", async () => {
  await run({ formats: ["3mf"] });
  expect(await filesIn(join(out, "tube"))).toEqual(["manifest.json", "tube/tube.3mf"]);
  const manifest = await manifestOf(join(out, "tube"));
  expect(manifest.molds[0].parts.every(({ file }) => file === null)).toBe(true);
});

test("a format that is not there yet is refused with those that are", async () => {
  const { problem, folder } = await run({ formats: ["stl", "pdf", "sheet"] });
  expect(folder).toBeUndefined();
  expect(problem?.code).toBe("format-not-yet");
  expect(problem?.message).toContain("does not write pdf, sheet yet. It writes stl and 3mf.");
  expect(await readdir(out)).toEqual([]);
});

test("molds whose names one disk takes for the same lie in two folders", async () => {
  await run({ molds: [tubeMold({ name: "Jar" }), tubeMold({ name: "jar" })] });
  const manifest = await manifestOf(join(out, "tube"));
  expect(manifest.molds.map(({ parts }) => parts[0].file)).toEqual([
    "Jar/parts/wall-a.stl",
    "jar-2/parts/wall-a.stl",
  ]);
});

test("a new export takes away files that it no longer has", async () => {
  await run({ molds: [tubeMold({ extra: [part("rail", "rail", box(20, 20, 6))] })] });
  await run();
  expect((await filesIn(join(out, "tube"))).some((path) => path.includes("rail"))).toBe(false);
  expect(await readdir(out)).toEqual(["tube"]);
});

test("a solid that is not sound leaves the previous export as it was, and nothing beside it", async () => {
  await run();
  const before = await contents(join(out, "tube"));
  const mold = tubeMold();
  mold.parts[1].mesh.triangles = mold.parts[1].mesh.triangles.slice(3);
  await expect(run({ molds: [mold] })).rejects.toThrow("wall-b is not a sound solid: 3 edges");
  expect(await contents(join(out, "tube"))).toEqual(before);
  expect(await readdir(out)).toEqual(["tube"]);
});

test("a vertex off the grid is refused, not rounded", async () => {
  const mold = tubeMold();
  mold.parts[2].mesh.positions[2] += 1e-9;
  await expect(run({ molds: [mold] })).rejects.toThrow("cutter-base has a vertex off the grid");
});

const refused = async (expected: string) => {
  const { problem, folder } = await run();
  expect(folder).toBeUndefined();
  expect(problem?.code).toBe("folder-not-ours");
  expect(problem?.message).toContain(expected);
  expect(problem?.message).toContain("Nothing was written");
};

test("a file of the maker's own in the folder stops the export", async () => {
  await run();
  await writeFile(join(out, "tube/tube/notes.txt"), "pressed on Tuesday");
  const before = await contents(join(out, "tube"));
  await refused("holds files of your own: tube/notes.txt");
  expect(await contents(join(out, "tube"))).toEqual(before);
});

test("an exported file that the maker changed is the maker's", async () => {
  await run();
  await writeFile(join(out, "tube/tube/parts/wall-a.stl"), "mended");
  await refused("have been changed since they were exported: tube/parts/wall-a.stl");
});

test("a folder without a manifest, or with someone else's, is the maker's", async () => {
  await mkdir(join(out, "tube"));
  await writeFile(join(out, "tube/sketch.png"), "x");
  await refused("no export of Slabwright wrote: sketch.png");
  await writeFile(join(out, "tube/manifest.json"), `{"name": "web app"}`);
  await refused("no export of Slabwright wrote: manifest.json, sketch.png");
  await writeFile(join(out, "tube/manifest.json"), "not json");
  await refused("no export of Slabwright wrote");
});

test("a manifest cannot reach outside its folder", async () => {
  await writeFile(join(out, "precious.txt"), "mine");
  await run();
  const path = join(out, "tube/manifest.json");
  const manifest = await manifestOf(join(out, "tube"));
  manifest.files.push({ path: "../precious.txt", bytes: 4, sha256: sha256(Buffer.from("mine")) });
  await writeFile(path, JSON.stringify(manifest));
  expect((await run()).folder).toBeDefined();
  expect(await readFile(join(out, "precious.txt"), "utf8")).toBe("mine");
});

test("a file or a link in the place of the folder is the maker's", async () => {
  await writeFile(join(out, "tube"), "x");
  await refused("not a folder");
  await rm(join(out, "tube"));
  await mkdir(join(out, "elsewhere"));
  await symlink(join(out, "elsewhere"), join(out, "tube"));
  await refused("not a folder");
  expect(await readdir(join(out, "elsewhere"))).toEqual([]);
});

test("a folder that cannot be made is a problem and not a fault", async () => {
  await writeFile(join(out, "notes.txt"), "x");
  const { problem, folder } = await run({ out: join(out, "notes.txt") });
  expect(folder).toBeUndefined();
  expect(problem?.code).toBe("folder-unwritable");
  expect(problem?.message).toContain("cannot be written: part of that path is a file");
});

test("an empty folder, files of a file manager and a deleted part are no hindrance", async () => {
  await mkdir(join(out, "tube"));
  await run();
  await writeFile(join(out, "tube/.DS_Store"), "x");
  await rm(join(out, "tube/tube/parts/wall-a.stl"));
  expect((await run()).folder).toBe(join(out, "tube"));
  expect((await occupantOf(join(out, "tube"))).kind).toBe("export");
  expect(await readdir(out)).toEqual(["tube"]);
});

test("what a run that died between its two moves left behind comes back", async () => {
  await run();
  const before = await contents(join(out, "tube"));
  // No process has this number: the kernel's largest is 4194304.
  await rename(join(out, "tube"), join(out, ".tube.99999999-1-0.slabwright-old"));
  await mkdir(join(out, ".tube.99999999-1-0.slabwright-new/tube"), { recursive: true });
  await expect(
    run({
      molds: [
        tubeMold({
          extra: [
            part("bad", "rail", { positions: new Float64Array(9), triangles: Uint32Array.from([0, 1, 2]) }),
          ],
        }),
      ],
    }),
  ).rejects.toThrow("bad is not a sound solid");
  expect(await contents(join(out, "tube"))).toEqual(before);
  expect(await readdir(out)).toEqual(["tube"]);
});

test("the staging of a run that still lives is left alone", async () => {
  const living = join(out, `.tube.${process.ppid}-1-0.slabwright-new`);
  await mkdir(living);
  await run();
  expect(await readdir(out)).toEqual([`.tube.${process.ppid}-1-0.slabwright-new`, "tube"]);
});

test("two exports of one design at once both end, with one of them whole in place", async () => {
  const rail = tubeMold({ extra: [part("rail", "rail", box(20, 20, 6))] });
  await Promise.all([run(), run({ molds: [rail] }), run(), run({ molds: [rail] })]);
  expect((await occupantOf(join(out, "tube"))).kind).toBe("export");
  expect(await readdir(out)).toEqual(["tube"]);
});

test("progress runs from nothing to all", async () => {
  const steps: [number, number][] = [];
  await run({ onProgress: (done, total) => steps.push([done, total]) });
  expect(steps[0][0]).toBe(0);
  expect(steps.at(-1)?.[0]).toBe(steps.at(-1)?.[1]);
  expect(steps.map(([done]) => done)).toEqual(steps.map((_, i) => i));
});

test("files of a mold that the printer is to scale say so", async () => {
  const one = tubeMold();
  const clay = { ...one.clay, total: 0, scale: 1 };
  await run({ molds: [{ ...one, clay }] });
  const parts = join(out, "tube", one.name, "parts");
  for (const name of await readdir(parts)) {
    const header = (await readFile(join(parts, name))).subarray(0, 80).toString("latin1");
    expect(header, name).toMatch(/^Slabwright, mm: NOT SCALED /);
  }
  await run();
  const [first] = await readdir(parts);
  expect((await readFile(join(parts, first))).subarray(0, 80).toString("latin1")).not.toContain("SCALED");
});
