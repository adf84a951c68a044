import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { BuildResult } from "../../../shared/engine.ts";
import { callAt, ENTRY, facesOf, FOLDER, realEngine, request } from "./real.ts";

const engine = realEngine();
const MOLD = ["inside", "band", "chamfer", "flange", "foot", "outside", "rim"];
const BODY = ["cavity", "foot", "rim"];
const SHELL = ["flange", "foot", "outside", "rim"];
const SEAM = ["chamfer", "gutter", "seam"];

/** What lights up with the cursor `into` characters behind the beginning of `words`. */
function lit(result: BuildResult, text: string, words: string, into = 1, file = ENTRY) {
  const at = text.indexOf(words);
  expect(at, words).toBeGreaterThanOrEqual(0);
  const found = callAt(result, file, text, at + into);
  return found && { name: found.name, faces: facesOf(result, found.lights) };
}

describe("the beaker: what the cursor lights up", async () => {
  const text = readFileSync(join(import.meta.dirname, "../../../examples/octagon-beaker.mold.ts"), "utf8");
  const result = await engine.build(request(text));

  it.each([
    ["profile.polygon({ sides: 8, acrossFlats: 62", "profile.polygon", BODY],
    ["profile.polygon({ sides: 8, acrossFlats: 80", "profile.polygon", BODY],
    ["foot.at(0)", "at", BODY],
    ["loft([foot", "loft", BODY],
    ["shrink(beaker", "shrink", BODY],
    ["split({ parts", "split", undefined],
    ["key({ shape", "key", ["key"]],
    ["cutter.base()", "cutter.base", ["cutter"]],
    ["slab: 6", "mold", undefined],
  ])("%s", (words, name, faces) => {
    const found = lit(result, text, words);
    expect(found?.name).toBe(name);
    if (faces) expect(found?.faces).toEqual(faces);
  });

  it("split lights its seam faces, the mold its shell, and neither the other's", () => {
    expect(lit(result, text, "split({ parts")?.faces).toEqual(expect.arrayContaining(["seam"]));
    expect(lit(result, text, "split({ parts")?.faces.filter((one) => !SEAM.includes(one))).toEqual([]);
    expect(lit(result, text, "slab: 6")?.faces).toEqual(expect.arrayContaining(SHELL));
    expect(lit(result, text, "slab: 6")?.faces.filter((one) => !MOLD.includes(one))).toEqual([]);
  });

  it("nothing outside of calls", () => {
    expect(lit(result, text, "import {")).toBeUndefined();
    expect(lit(result, text, "const foot")).toBeUndefined();
  });

  it("every face goes to a call with a place", () => {
    const places = new Map(result.calls.map(({ call, chain }) => [call, chain]));
    for (const { surfaces } of result.molds)
      for (const { geometry } of surfaces)
        for (const { call } of geometry?.groups ?? []) expect(places.get(call)?.length).toBeGreaterThan(0);
  });
});

describe("helpers, imports, params", async () => {
  const helper = `import { loft, profile } from "slabwright";
export const lip = 1.2;
export function bowl(width: number, height: number) {
  const foot = profile.circle({ diameter: width });
  return loft([foot.at(0), foot.scale(lip).at(height)]);
}
`;
  const text = `import { clay, key, mold, param, profile, shrink, split } from "slabwright";
import { bowl } from "./parts";
const height = param("height", 80, { min: 60, max: 140 });
const wall = param("wall", 3, { min: 2, max: 6 });
const bed = param("bed", 220, { min: 100, max: 400 });
const size = param("size", 8, { min: 6, max: 10 });
const lost = param("lost", 8, { min: 6, max: 10 });
const half = height / 2;
const stoneware = clay({ name: "stoneware", total: 0.12 });
profile.circle({ diameter: 9 });
const make = (width: number, tall: number) =>
  mold(shrink(bowl(width, tall), stoneware), { wall, seams: split({ parts: 3 }), keys: key({ size: Math.max(size, 6) }) });
const small = make(60, half + 30);
export default { small, large: make(80, 2 * half) };
`;
  const result = await engine.build(request(text, { "parts.ts": helper }));

  it("a helper called twice gives two of each call, with the chain of the calls that led there", () => {
    expect(result.problem).toBeUndefined();
    const lofts = result.calls.filter((call) => call.name === "loft");
    expect(
      lofts.map(({ chain }) => chain.map(({ file, line }) => `${file.slice(FOLDER.length + 1)}:${line}`)),
    ).toEqual([
      ["parts.ts:5", "sample.mold.ts:12", "sample.mold.ts:13"],
      ["parts.ts:5", "sample.mold.ts:12", "sample.mold.ts:14"],
    ]);
  });

  it("in the imported file", () => {
    const found = lit(result, helper, "profile.circle", 1, `${FOLDER}/parts.ts`);
    expect(found).toEqual({ name: "profile.circle", faces: BODY });
  });

  it("a clay shows in the body that was grown for it", () => {
    expect(lit(result, text, "clay({ name")).toEqual({ name: "clay", faces: BODY });
  });

  it("a param shows in what its number went into, also computed and through a helper", () => {
    expect(lit(result, text, `param("wall"`)?.faces).toEqual(expect.arrayContaining(SHELL));
    expect(lit(result, text, `param("size"`)).toEqual({ name: "param", faces: ["key"] });
    expect(lit(result, text, `param("height"`)?.faces).toEqual(expect.arrayContaining(["cavity"]));
  });

  it("what goes nowhere has no view", () => {
    expect(lit(result, text, `param("lost"`)).toBeUndefined();
    expect(lit(result, text, "profile.circle({ diameter: 9")).toBeUndefined();
  });

  it("a call of the helper lights what it made", () => {
    const made = result.calls.filter(({ chain }) =>
      chain.some(({ line, file }) => line === 13 && file === ENTRY),
    );
    expect(made.map(({ name }) => name)).toEqual(expect.arrayContaining(["loft", "mold", "split", "key"]));
  });

  it("an exported constant is followed to where it is imported", async () => {
    const sizes = `import { param } from "slabwright";\nexport const rim = param("rim", 9, { min: 2, max: 12 });\n`;
    const design = `import { loft, mold, profile, shrink } from "slabwright";
import { rim as width } from "./sizes";
const foot = profile.circle({ diameter: 64 });
export default mold(shrink(loft([foot.at(0), foot.at(80)]), 0.12), { rim: { width } });
`;
    const built = await engine.build(request(design, { "sizes.ts": sizes }));
    expect(lit(built, sizes, "param(", 1, `${FOLDER}/sizes.ts`)?.faces).toEqual(
      expect.arrayContaining(SHELL),
    );
  });
});

it("seams and keys that nobody asked for are the mold's", async () => {
  const text = `import { loft, mold, profile, shrink } from "slabwright";
const foot = profile.circle({ diameter: 64 });
export default mold(shrink(loft([foot.at(0), foot.at(80)]), 0.12));
`;
  const result = await engine.build(request(text));
  expect(lit(result, text, "mold(shrink")?.faces).toEqual(expect.arrayContaining(["seam", "key", ...SHELL]));
});

it("a body alone: its calls", async () => {
  const text = `import { loft, profile } from "slabwright";
const foot = profile.circle({ diameter: 64 });
export default loft([foot.at(0), foot.at(80)]);
`;
  const result = await engine.build(request(text));
  expect(lit(result, text, "profile.circle")?.faces).toEqual(BODY);
});
