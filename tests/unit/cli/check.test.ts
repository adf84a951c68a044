import { join } from "node:path";
import { expect, test } from "vitest";
import { fakeEngine, finding, problem, slabwright, workshop } from "./fixture.ts";

const FILES = { "mug.mold.ts": "" };

test("asks for the fineness of an export and tries fixes, in words and in JSON", async () => {
  using shop = workshop(FILES);
  const { engine, asked } = fakeEngine({});
  await slabwright(["check", "mug.mold.ts"], { cwd: shop.cwd, engine });
  await slabwright(["check", "mug.mold.ts", "--json"], { cwd: shop.cwd, engine });
  expect(asked.build).toMatchObject([
    { entry: join(shop.cwd, "mug.mold.ts"), root: shop.cwd, quality: "export", fixes: true },
    { quality: "export", fixes: true },
  ]);
});

test("a sound design is status 0, silent in a pipe, one line on a terminal", async () => {
  using shop = workshop(FILES);
  const { engine } = fakeEngine({});
  expect(await slabwright(["check", "mug.mold.ts"], { cwd: shop.cwd, engine })).toEqual({
    status: 0,
    out: "",
    err: "",
  });
  const { out } = await slabwright(["check", "mug.mold.ts"], { cwd: shop.cwd, engine, terminal: true });
  expect(out).toBe("mug: no findings\n");
});

test("errors are status 1 and come with their fixes in JSON", async () => {
  using shop = workshop(FILES);
  const file = join(shop.cwd, "mug.mold.ts");
  const findings = [
    finding(file, { severity: "error", code: "undercut" }),
    finding(file),
    finding(file, { severity: "info" }),
  ];
  const { engine } = fakeEngine({ build: { findings } });
  const { status, out, err } = await slabwright(["check", "mug.mold.ts", "--json"], {
    cwd: shop.cwd,
    engine,
  });
  expect(status).toBe(1);
  expect(err.split("\n").map((line) => line.slice(0, 34))).toEqual([
    "mug.mold.ts:7:3: undercut: wall-a ",
    "    try: Turn the seams",
    "mug.mold.ts:7:3: warning: draft-lo",
    "    try: Turn the seams",
    "mug.mold.ts:7:3: info: draft-low: ",
    "    try: Turn the seams",
    "",
  ]);
  const json = JSON.parse(out) as { design: string; findings: { fixes: unknown[] }[] };
  expect(json.design).toBe("mug");
  expect(json.findings[0].fixes).toEqual([
    { title: "Turn the seams", edits: [{ file: "mug.mold.ts", start: 5, end: 6, text: "17" }] },
  ]);
});

test("what else in the design has to do with a finding: the worst stands below it, JSON has all", async () => {
  using shop = workshop(FILES);
  const file = join(shop.cwd, "mug.mold.ts");
  const place = { file, line: 2, column: 5, endLine: 2, endColumn: 9 };
  const note = { code: "note-undercut", args: {}, message: "shapes the clay", place };
  const lesser = { ...note, message: "shapes other clay" };
  const { engine } = fakeEngine({ build: { findings: [finding(file, { notes: [note, lesser] })] } });
  const { out, err } = await slabwright(["check", "mug.mold.ts", "--json"], { cwd: shop.cwd, engine });
  expect(err).toContain("\nmug.mold.ts:2:5: note: shapes the clay\n");
  expect(err).not.toContain("other clay");
  const json = JSON.parse(out) as { findings: { notes: unknown }[] };
  const there = { file: "mug.mold.ts", line: 2, column: 5, endLine: 2, endColumn: 9 };
  expect(json.findings[0].notes).toEqual([
    { message: "shapes the clay", ...there },
    { message: "shapes other clay", ...there },
  ]);
});

test("a design that does not run is status 1", async () => {
  using shop = workshop(FILES);
  const { engine } = fakeEngine({ build: { problem: problem(join(shop.cwd, "mug.mold.ts")) } });
  const { status, out, err } = await slabwright(["check", "mug.mold.ts"], {
    cwd: shop.cwd,
    engine,
    terminal: true,
  });
  expect({ status, out }).toEqual({ status: 1, out: "" });
  expect(err).toContain("mug.mold.ts:2:9: thrown: the glaze is not dry");
});
