import { mkdirSync, symlinkSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import type { ExportResult } from "../../../shared/engine.ts";
import { fakeEngine, finding, problem, slabwright, workshop } from "./fixture.ts";

const FILES = { "mug.mold.ts": "", "pots/slabwright.json": "{}", "pots/cups/cup.mold.ts": "" };

const part = (name: string, changes: Partial<ExportResult["parts"][number]> = {}) => ({
  mold: "mug",
  name,
  role: "wall",
  size: [98.25, 61, 130] as [number, number, number],
  filamentG: 87.4,
  printHours: 3.2,
  plate: 0,
  ...changes,
});

test("asks the engine for the design, its root, the folder and the formats", async () => {
  using shop = workshop(FILES);
  const { engine, asked } = fakeEngine({});
  await slabwright(["export", "pots/cups/cup.mold.ts", "--out", "prints", "--formats", "3mf,stl"], {
    cwd: shop.cwd,
    engine,
  });
  expect(asked.export).toEqual([
    {
      entry: join(shop.cwd, "pots/cups/cup.mold.ts"),
      root: join(shop.cwd, "pots"),
      out: join(shop.cwd, "prints"),
      formats: ["3mf", "stl"],
      allowErrors: false,
    },
  ]);
});

test("by default the folder is “out” and all formats are written", async () => {
  using shop = workshop(FILES);
  const { engine, asked } = fakeEngine({});
  await slabwright(["export", "mug.mold.ts", "--allow-errors"], { cwd: shop.cwd, engine });
  expect(asked.export[0]).toMatchObject({ out: join(shop.cwd, "out"), formats: [], allowErrors: true });
});

test("a link to a design is followed before its root is looked for", async () => {
  using shop = workshop(FILES);
  mkdirSync(join(shop.cwd, "desk"));
  symlinkSync(join(shop.cwd, "pots/cups/cup.mold.ts"), join(shop.cwd, "desk/cup.mold.ts"));
  const { engine, asked } = fakeEngine({});
  await slabwright(["export", "desk/cup.mold.ts"], { cwd: shop.cwd, engine });
  expect(asked.export[0]).toMatchObject({
    entry: join(shop.cwd, "pots/cups/cup.mold.ts"),
    root: join(shop.cwd, "pots"),
  });
});

test("a pipe hears nothing of an export that went well", async () => {
  using shop = workshop(FILES);
  const { engine } = fakeEngine({ export: { folder: join(shop.cwd, "out/mug"), parts: [part("wall-a")] } });
  expect(await slabwright(["export", "mug.mold.ts"], { cwd: shop.cwd, engine })).toEqual({
    status: 0,
    out: "",
    err: "",
  });
});

test("a terminal sees progress, which goes again, and a table", async () => {
  using shop = workshop(FILES);
  const parts = [part("wall-a"), part("wall-b", { plate: 1, printHours: 12.5, filamentG: 340 })];
  const { engine } = fakeEngine({
    export: {
      folder: join(shop.cwd, "out/mug"),
      parts,
      files: [{ path: "mug/mug.3mf", bytes: 3, sha256: "0" }],
    },
  });
  const { status, out, err } = await slabwright(["export", "mug.mold.ts"], {
    cwd: shop.cwd,
    engine,
    terminal: true,
  });
  expect(status).toBe(0);
  expect(err).toBe("\r\x1b[2K[1/4] mug: stl\r\x1b[2K");
  expect(out.split("\n")).toEqual([
    "part      size, mm              filament    printing   plate",
    "─".repeat(63),
    "wall-a    98.3 × 61.0 × 130.0       87 g   2.2–4.2 h   plate-0",
    "wall-b    98.3 × 61.0 × 130.0      340 g      9–16 h   plate-1",
    "─".repeat(63),
    "2 parts                            427 g     11–20 h   2 plates",
    "",
    "no findings · 2 files in out/mug",
    "",
  ]);
});

test("errors are one line each with place and code, and the status is 1", async () => {
  using shop = workshop(FILES);
  const file = join(shop.cwd, "mug.mold.ts");
  const findings = [finding(file, { severity: "error", code: "undercut" }), finding(file)];
  const { engine } = fakeEngine({ export: { findings } });
  const { status, out, err } = await slabwright(["export", "mug.mold.ts"], { cwd: shop.cwd, engine });
  expect({ status, out }).toEqual({ status: 1, out: "" });
  expect(err.split("\n")).toEqual([
    "mug.mold.ts:7:3: undercut: wall-a leaves with 1° of draft near z 40.",
    "    try: Turn the seams",
    "mug.mold.ts:7:3: warning: draft-low: wall-a leaves with 1° of draft near z 40.",
    "    try: Turn the seams",
    "",
  ]);
});

test("warnings alone do not spoil the status", async () => {
  using shop = workshop(FILES);
  const { engine } = fakeEngine({ export: { findings: [finding(join(shop.cwd, "mug.mold.ts"))] } });
  expect((await slabwright(["export", "mug.mold.ts"], { cwd: shop.cwd, engine })).status).toBe(0);
});

test("a design that throws says where, and where it was called from", async () => {
  using shop = workshop(FILES);
  const { engine } = fakeEngine({ export: { problem: problem(join(shop.cwd, "mug.mold.ts")) } });
  const { status, err } = await slabwright(["export", "mug.mold.ts"], { cwd: shop.cwd, engine });
  expect(status).toBe(1);
  expect(err).toBe(
    "mug.mold.ts:2:9: thrown: the glaze is not dry\nmug.mold.ts:11:1: note: called from here\n",
  );
});

test("a file outside the folder one stands in is shown whole", async () => {
  using shop = workshop(FILES);
  const { engine } = fakeEngine({ export: { problem: problem(join(shop.cwd, "mug.mold.ts")) } });
  const { err } = await slabwright(["export", "../../mug.mold.ts"], {
    cwd: join(shop.cwd, "pots/cups"),
    engine,
  });
  expect(err).toContain(`${join(shop.cwd, "mug.mold.ts")}:2:9: thrown:`);
});

test("--json gives folder, files, parts and findings with their edits", async () => {
  using shop = workshop(FILES);
  const files = [{ path: "mug/mug.3mf", bytes: 3, sha256: "0".repeat(64) }];
  const { engine } = fakeEngine({
    export: {
      folder: join(shop.cwd, "out/mug"),
      files,
      parts: [part("wall-a")],
      findings: [finding(join(shop.cwd, "mug.mold.ts"))],
    },
  });
  const { out } = await slabwright(["export", "mug.mold.ts", "--json"], {
    cwd: shop.cwd,
    engine,
    terminal: true,
  });
  expect(JSON.parse(out)).toEqual({
    folder: "out/mug",
    files,
    parts: [part("wall-a")],
    findings: [
      {
        code: "draft-low",
        severity: "warning",
        message: "wall-a leaves with 1° of draft\nnear z 40.",
        file: "mug.mold.ts",
        line: 7,
        column: 3,
        endLine: 7,
        endColumn: 7,
        fixes: [{ title: "Turn the seams", edits: [{ file: "mug.mold.ts", start: 5, end: 6, text: "17" }] }],
      },
    ],
  });
});

test("nothing written is said on a terminal and is null in JSON", async () => {
  using shop = workshop(FILES);
  const findings = [finding(join(shop.cwd, "mug.mold.ts"), { severity: "error" })];
  const { engine } = fakeEngine({ export: { findings } });
  const seen = await slabwright(["export", "mug.mold.ts"], { cwd: shop.cwd, engine, terminal: true });
  expect(seen.out).toBe("1 error: nothing was written. --allow-errors writes all the same.\n");
  const { out } = await slabwright(["export", "mug.mold.ts", "--json"], { cwd: shop.cwd, engine });
  expect(JSON.parse(out)).toMatchObject({ folder: null, files: [] });
});
