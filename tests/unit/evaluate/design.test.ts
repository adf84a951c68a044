import { mkdtempSync, mkdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { evaluate, type Evaluation } from "../../../src/dsl/evaluate/index.ts";
import * as kit from "./kit.ts";
import { designOf, ENTRY, run, shown } from "./run.ts";

describe("places of what a finding speaks of", () => {
  const text = `import { loft, mold, profile } from "slabwright";
const wall = 2;
const make = (size: number) => {
  const body = profile.circle({ size }).at(0);
  return mold(body, {
    wall,
    flange: { width: 14 },
    name: "é",
  });
};
export default make(80);
`;
  const design = designOf(text);
  const call = (name: string) =>
    Array.from({ length: design.calls.size }, (_, id) => id).find((id) => design.calls.nameOf(id) === name) ??
    -1;

  test.each([
    ["the call", {}, "pot.mold.ts:5:10-9:5"],
    ["an argument", { argument: 0 }, "pot.mold.ts:5:15-5:19"],
    ["an option", { argument: 1, path: ["wall"] }, "pot.mold.ts:6:5-6:9"],
    ["an option inside an option", { argument: 1, path: ["flange", "width"] }, "pot.mold.ts:7:22-7:24"],
    [
      "an option that is not written: those around it",
      { argument: 1, path: ["flange", "thickness"] },
      "pot.mold.ts:7:13-7:26",
    ],
    [
      "an option that is not written: all of them",
      { argument: 1, path: ["rim", "width"] },
      "pot.mold.ts:5:21-9:4",
    ],
    ["an argument that is not written: the call", { argument: 2 }, "pot.mold.ts:5:10-9:5"],
  ])("%s", (_title, target, at) => {
    const { place, related } = design.locate({ call: call("mold"), ...target });
    expect(shown(place)).toBe(at);
    expect(related && shown(related)).toBe("pot.mold.ts:11:16-11:24");
  });

  test("a chained call begins at its own name", () => {
    expect(shown(design.locate({ call: call("profile.circle.at") }).place)).toBe("pot.mold.ts:4:41-4:46");
    expect(shown(design.locate({ call: call("profile.circle") }).place)).toBe("pot.mold.ts:4:16-4:40");
  });

  test("what no call made: the export", () => {
    expect(shown(design.locate({ call: -1 }).place)).toBe("pot.mold.ts:11:16-11:24");
  });

  test("elements of an array", () => {
    const lofted = designOf(`import { loft } from "slabwright";\nexport default loft([10, 20, 30]);`);
    expect(shown(lofted.locate({ call: 0, argument: 0, path: ["1"] }).place)).toBe("pot.mold.ts:2:26-2:28");
  });
});

describe("params", () => {
  const text = `import { param } from "slabwright";
const height = param("height", 96, { min: 60, max: 140 });
const low = param("low", -2, { min: -5, max: 5, step: 0.5 });
const half = param("half", height / 2, { min: 0, max: 100 });
export default [height, low, half];
`;
  test("are told with their place, and whether a slider can write them", () => {
    const { params, value } = designOf(text);
    expect(value).toEqual([96, -2, 48]);
    expect(params.map(({ place, ...rest }) => ({ ...rest, at: shown(place) }))).toEqual([
      { name: "height", value: 96, min: 60, max: 140, step: 1, writable: true, at: "pot.mold.ts:2:32-2:34" },
      { name: "low", value: -2, min: -5, max: 5, step: 0.5, writable: true, at: "pot.mold.ts:3:26-3:28" },
      { name: "half", value: 48, min: 0, max: 100, step: 1, writable: false, at: "pot.mold.ts:4:28-4:38" },
    ]);
  });

  test("an override wins over the code", () => {
    const { value, params } = designOf(text, {}, { overrides: { height: 100, other: 1 } });
    expect(value).toEqual([100, -2, 50]);
    expect(params[0].value).toBe(100);
  });

  test("a name that is taken is a problem at the second", () => {
    const { problem } = run(
      `import { param } from "slabwright";\nparam("a", 1, { min: 0, max: 2 });\nparam("a", 1, { min: 0, max: 2 });`,
    );
    expect(problem).toMatchObject({
      code: "param-twice",
      message: "The name “a” belongs to the slider of line 2 already. Give each slider a name of its own.",
    });
    expect(problem && shown(problem.place)).toBe("pot.mold.ts:3:7-3:10");
  });

  test("a loop is one param", () => {
    const loop = `import { param } from "slabwright";\nlet sum = 0;\nfor (let i = 0; i < 3; i++) sum += param("a", 1, { min: 0, max: 2 });\nexport default sum;`;
    const { value, params } = designOf(loop, {}, { overrides: { a: 2 } });
    expect([value, params.length]).toEqual([6, 1]);
  });
});

describe("console", () => {
  const linesOf = (text: string) => {
    const lines: string[] = [];
    run(text, {}, { log: (line) => lines.push(line) });
    return lines;
  };

  test("its lines are heard", () => {
    expect(
      linesOf(`console.log("a", 1, { b: [2] }); console.error("c\\nd"); console.warn(new Map([[1, 2]]));`),
    ).toEqual(["a 1 { b: [ 2 ] }", "c", "d", "Map(1) { 1 => 2 }"]);
  });

  test("200 lines and then a count", () => {
    const lines = linesOf("for (let i = 0; i < 1000; i++) console.log(i);");
    expect(lines).toHaveLength(201);
    expect(lines.slice(198)).toEqual(["198", "199", "… and 800 more lines"]);
  });

  test("promises that write count with the rest", async () => {
    const lines: string[] = [];
    const text = `const go = (n: number): unknown => Promise.resolve().then(() => { console.log(n); if (n < 999) go(n + 1); });
for (let i = 0; i < 100; i++) console.log("at once");
go(0);
export default 1;`;
    run(text, {}, { log: (line) => lines.push(line) });
    expect(lines).toHaveLength(100);
    await new Promise((resolve) => setImmediate(resolve));
    expect(lines).toHaveLength(201);
    expect(lines.slice(199)).toEqual(["99", "… and 900 more lines"]);
  });

  test("values are shown without running them", () => {
    expect(
      linesOf(
        `console.log({ get x() { throw 1; }, [Symbol.for("nodejs.util.inspect.custom")]() { throw 2; } }, new Proxy({}, { get() { throw 3; } }));`,
      ),
    ).toHaveLength(4);
  });
});

describe("a realm of its own", () => {
  test("a design that breaks the globals breaks neither the recording nor the next design", () => {
    const breaking = `import { mold } from "slabwright";
Error.prepareStackTrace = () => { throw 1; };
Error.captureStackTrace = null as any;
Error.stackTraceLimit = 0;
for (const name of ["push", "map", "filter", "find", "slice", Symbol.iterator]) (Array.prototype as any)[name] = () => { throw 2; };
Map.prototype.get = WeakMap.prototype.set = Object.hasOwn = Reflect.get = JSON.stringify = (() => { throw 3; }) as any;
Function.prototype.call = Function.prototype.apply = Function.prototype.bind = (() => { throw 4; }) as any;
(globalThis as any).Error = undefined;
(globalThis as any).left = 1;
export default mold(1);
`;
    const broken = designOf(breaking);
    expect(shown(broken.locate({ call: 0 }).place)).toBe("pot.mold.ts:10:16-10:23");
    expect(designOf(`export default typeof left + [1].map(String).join() + typeof Error;`).value).toBe(
      "undefined1function",
    );
    const { problem } = run(breaking + "\n\n null!.x;");
    expect(problem?.code).toBe("thrown");
    expect(problem && shown(problem.place)).toBe("pot.mold.ts:13:8-13:9");
  });

  test("Error.prepareStackTrace stays as it was for others", () => {
    const prepare = () => Reflect.get(Error, "prepareStackTrace") as unknown;
    const before = prepare();
    const limit = Error.stackTraceLimit;
    run("null!.x;");
    expect([prepare(), Error.stackTraceLimit]).toEqual([before, limit]);
  });
});

describe("files", () => {
  let folder: string;
  const write = (name: string, text: string) => writeFileSync(join(folder, name), text);
  const on = (entry: string, root = ".", overlays: Record<string, string> = {}): Evaluation =>
    evaluate({
      entry: join(folder, entry),
      root: join(folder, root),
      overlays,
      packages: { slabwright: kit },
    });

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "evaluate-"));
    for (const name of ["inside", "outside", "inside/parts"]) mkdirSync(join(folder, name));
    write(
      "inside/a.mold.ts",
      `import { n } from "./parts/n";\nimport sizes from "./sizes.json";\nimport { wide } from "./sizes.json";\nexport default [n, sizes.wide, wide];`,
    );
    write("inside/parts/n.ts", "export const n = 1;");
    write("inside/sizes.json", `\uFEFF{ "wide": 62 }`);
    write("outside/secret.ts", "export const secret = 1;");
    symlinkSync(join(folder, "outside/secret.ts"), join(folder, "inside/secret.ts"));
    symlinkSync(join(folder, "inside"), join(folder, "link"));
    write("inside/b.mold.ts", `\nimport { secret } from "./secret";\nexport default secret;`);
    write("inside/i.mold.ts", `import { x } from "./shapes"; export default x;`);
    mkdirSync(join(folder, "inside/shapes"));
    write("inside/shapes/index.ts", `export { n as x } from "../parts/n.js";`);
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  test("are read from the disk", () => {
    const { design, files } = on("inside/a.mold.ts");
    expect(design?.value).toEqual([1, 62, 62]);
    expect(design?.design).toBe("a");
    const read = ["a.mold.ts", "parts/n.ts", "sizes.json"].map((name) => join(folder, "inside", name));
    // The workshop's settings are looked for beside the design and above it, up to the root.
    const settings = ["inside/slabwright.json", "slabwright.json"].map((name) => join(folder, name));
    expect(files).toEqual([...read, ...settings]);
  });

  test("unsaved texts win, also of imports", () => {
    const overlays = { [join(folder, "inside/parts/n.ts")]: "export const n = 2;" };
    expect(on("inside/a.mold.ts", "inside", overlays).design?.value).toEqual([2, 62, 62]);
  });

  test("a folder's index", () => expect(on("inside/i.mold.ts").design?.value).toBe(1));

  test("a link that leads outside is outside", () => {
    const { problem } = on("inside/b.mold.ts", "inside");
    expect(problem).toMatchObject({ code: "import-outside", place: { line: 2, column: 24 } });
    expect(problem?.message).toBe("“./secret” lies outside of inside, the folder that holds this design.");
    expect(on("inside/b.mold.ts", ".").design?.value).toBe(1);
  });

  test("a linked folder: files keep the names by which the maker knows them", () => {
    const overlays = { [join(folder, "link/parts/n.ts")]: "export const n = 3;" };
    const { design, files } = on("link/a.mold.ts", "link", overlays);
    expect(design?.value).toEqual([3, 62, 62]);
    expect(files).toEqual(
      ["a.mold.ts", "parts/n.ts", "sizes.json", "slabwright.json"].map((name) => join(folder, "link", name)),
    );
  });
});

test("folders of a package are its properties", () => {
  const modeling = { primitives: { cube: () => 8 }, default: {} };
  const packages = { slabwright: kit, "@jscad/modeling": modeling };
  const text = `import { cube } from "@jscad/modeling/src/primitives";
import cubeAgain from "@jscad/modeling/src/primitives/cube.js";
import { primitives } from "@jscad/modeling";
export default [cube(), cubeAgain(), primitives.cube()];`;
  expect(designOf(text, {}, { packages }).value).toEqual([8, 8, 8]);
});

test("texts that have not changed are not parsed again", () => {
  const parsed = new Map();
  const files = { "n.ts": "export const n = 1;" };
  run(`import { n } from "./n"; export default n;`, files, { parsed });
  const before = parsed.get("/designs/n.ts") as unknown;
  run(`import { n } from "./n"; export default n + 1;`, files, { parsed });
  expect(parsed.get("/designs/n.ts")).toBe(before);
  expect(parsed.size).toBe(2);
  expect(ENTRY in Object.fromEntries(parsed)).toBe(true);
});
