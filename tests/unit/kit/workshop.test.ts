import { describe, expect, it } from "vitest";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";
import { settingsJsonSchema } from "../../../shared/settings.ts";
import { evaluateText, FOLDER, valueOf, withImports } from "./evaluated.ts";

const POT = `const pot = revolve([[30, 0], [44, 90]]);`;
const settings = (text: string) => ({ "slabwright.json": text });
const specOf = (text: string, kept: string) =>
  (valueOf(`${POT} export default ${text};`, settings(kept)) as Mold).spec;

const KEPT = `{
  // One printer in the window, one in the cellar.
  "printers": {
    "window": { "bed": [180, 180, 180], "nozzle": 0.4, "spread": 0.1 },
    "cellar": { "bed": [300, 300, 400], "nozzle": 0.8, "layer": 0.4 },
  },
  "clays": {
    "white": { "total": 0.125, "water": 0.2 },
    "red": { "bars": [{ "wet": 100, "dry": 94, "fired": 90 }, { "wet": 100, "dry": 94, "fired": 89 }] }
  },
  "hand": { "breadth": 78, "length": 172 },
  "defaults": { "slab": 5, "flange": { "width": 16 }, "printer": "cellar", "limits": { "draft": 3 } }
}`;

describe("slabwright.json", () => {
  it("defaults lie under the design's own options", () => {
    const spec = specOf(
      `mold(shrink(pot, 0.1), { flange: { thickness: 5 }, limits: { undercut: 1 } })`,
      KEPT,
    );
    expect(spec.slab).toBe(5);
    expect(spec.flange).toEqual({ width: 16, thickness: 5 });
    expect(spec.limits).toMatchObject({ draft: 3, undercut: 1, grip: 0.3 });
    expect(spec.printer).toMatchObject({ name: "cellar", named: true, nozzle: 0.8, bed: [300, 300, 400] });
    expect(specOf(`mold(shrink(pot, 0.1), { slab: 7 })`, KEPT).slab).toBe(7);
  });

  it("printers and clays by name, the hand, the fallback for what it leaves out", () => {
    const spec = specOf(`mold(shrink(pot, "white"), { printer: "window" })`, KEPT);
    expect(spec.printer).toMatchObject({ name: "window", nozzle: 0.4, layer: 0.2, spread: 0.1 });
    expect(spec.keys).toMatchObject({ clearance: 0.2, gap: expect.closeTo(0.4, 12) as number });
    expect(spec.body.shrinkings[0]).toMatchObject({ total: 0.125, clay: { name: "white", water: 0.2 } });
    expect(spec.hand).toEqual({ breadth: 78, length: 172, forearm: 300 });
    const red = specOf(`mold(shrink(pot, clay({ name: "red", release: 0.5 })))`, KEPT).body.shrinkings[0]
      .clay;
    expect(red).toMatchObject({ n: 2, release: 0.5, drying: expect.closeTo(0.06, 12) as number });
    expect(red?.total).toBeCloseTo(0.105, 12);
  });

  it("a clay of the same name written out in the design wins", () => {
    const spec = specOf(`mold(shrink(pot, clay({ name: "white", total: 0.1 })))`, KEPT);
    expect(spec.body.shrinkings[0].total).toBe(0.1);
  });

  it("a name that nobody keeps says which ones there are", () => {
    const message = (text: string, kept?: string) =>
      evaluateText(withImports(`${POT}\nexport default ${text};`), kept ? settings(kept) : {}).problem;
    expect(message(`mold(pot, { printer: "attic" })`, KEPT)).toMatchObject({
      message: expect.stringMatching(
        /a printer of slabwright\.json \(“window”, “cellar”\) .* got “attic”/,
      ) as string,
      place: { line: 2 },
    });
    expect(message(`mold(pot, { printer: "attic" })`)?.message).toMatch(
      /no slabwright\.json beside or above/,
    );
    expect(message(`mold(shrink(pot, "grey"))`, KEPT)?.message).toMatch(
      /a clay of slabwright\.json \(“white”, “red”\)/,
    );
    expect(message(`mold(shrink(pot, clay({ name: "grey" })))`, KEPT)?.message).toMatch(
      /says nothing of shrinkage/,
    );
  });

  it("the nearest one wins, paths looked at are watched", () => {
    const overlays = {
      [`${FOLDER}/mugs/a.mold.ts`]: withImports(`${POT} export default mold(shrink(pot, 0.1));`),
      [`${FOLDER}/slabwright.json`]: `{ "defaults": { "slab": 9 } }`,
    };
    const run = async (more: Record<string, string>) => {
      const { evaluate } = await import("../../../src/dsl/evaluate/index.ts");
      const kit = await import("../../../src/dsl/index.ts");
      return evaluate({
        entry: `${FOLDER}/mugs/a.mold.ts`,
        root: FOLDER,
        overlays: { ...overlays, ...more },
        packages: { slabwright: kit },
      });
    };
    return run({}).then(async (above) => {
      expect((above.design?.value as Mold).spec.slab).toBe(9);
      expect(above.files).toEqual(
        expect.arrayContaining([`${FOLDER}/mugs/slabwright.json`, `${FOLDER}/slabwright.json`]),
      );
      const beside = await run({ [`${FOLDER}/mugs/slabwright.json`]: `{ "defaults": { "slab": 4 } }` });
      expect((beside.design?.value as Mold).spec.slab).toBe(4);
      expect(beside.files).not.toContain(`${FOLDER}/slabwright.json`);
    });
  });

  const wrong: [string, string, RegExp, string][] = [
    ["not JSON", `{ "hand": }`, /This is not JSON: value expected/, "1:11"],
    ["nothing", ``, /the file is empty|This is not JSON/, "1:1"],
    ["a list", `[]`, /slabwright\.json: the file must be an object in braces, got an array of 0/, "1:1"],
    [
      "an unknown key",
      `{\n  "printer": {}\n}`,
      /there is no option “printer”. Did you mean “printers”\? Allowed: printers, clays, hand, defaults/,
      "2:3",
    ],
    [
      "per cent",
      `{ "clays": { "a": { "total": 12.5 } } }`,
      /clays\.a\.total is 12\.5, which looks like per cent\. Write it as a fraction: 0\.125/,
      "1:30",
    ],
    [
      "an unknown key inside",
      `{ "printers": { "a": { "bedd": 1 } } }`,
      /“printers\.a\.bedd”. Did you mean “bed”\? Allowed: bed, nozzle, layer/,
      "1:24",
    ],
    [
      "a text for a number",
      `{ "printers": { "a": { "nozzle": "0.4" } } }`,
      /printers\.a\.nozzle must be a number, got “0\.4”/,
      "1:34",
    ],
    [
      "a nozzle out of range",
      `{ "printers": { "a": { "nozzle": 9 } } }`,
      /printers\.a\.nozzle is 9; allowed is at least 0\.1 and at most 3 mm/,
      "1:34",
    ],
    [
      "a layer too high",
      `{ "printers": { "a": { "nozzle": 0.4, "layer": 0.5 } } }`,
      /printers\.a\.layer is 0\.5; allowed/,
      "1:48",
    ],
    [
      "a bed of two sides",
      `{ "printers": { "a": { "bed": [1, 2] } } }`,
      /printers\.a\.bed must be a list of 3/,
      "1:31",
    ],
    [
      "a bed too small",
      `{ "printers": { "a": { "bed": [200, 200, 2] } } }`,
      /printers\.a\.bed is 2; allowed/,
      "1:31",
    ],
    [
      "a spread of a whole wall",
      `{ "printers": { "a": { "spread": 0.7 } } }`,
      /printers\.a\.spread must be at most 0\.5, got 0\.7/,
      "1:34",
    ],
    [
      "a spread in words",
      `{ "printers": { "a": { "spread": "some" } } }`,
      /printers\.a\.spread must be a number, got “some”/,
      "1:34",
    ],
    ["a clay in per cent", `{ "clays": { "w": { "total": 12.5 } } }`, /clays\.w\.total/, "1:30"],
    ["a clay that says nothing", `{ "clays": { "w": {} } }`, /says nothing of shrinkage/, "1:19"],
    [
      "a bar without its end",
      `{ "clays": { "w": { "bars": [{ "wet": 100 }] } } }`,
      /clays\.w\.bars\.0\.fired is missing/,
      "1:30",
    ],
    [
      "no hand",
      `{ "hand": { "breadth": 7 } }`,
      /hand\.breadth is 7; allowed is at least 40 and at most 140 mm/,
      "1:24",
    ],
    [
      "a default out of range",
      `{ "defaults": { "slab": 0.6 } }`,
      /defaults\.slab is 0\.6; allowed is at least 1/,
      "1:25",
    ],
    [
      "a default of another kind",
      `{ "defaults": { "base": "flor" } }`,
      /defaults\.base must be “open” or “floor”/,
      "1:25",
    ],
    [
      "a default flange",
      `{ "defaults": { "flange": { "width": 3 } } }`,
      /defaults\.flange\.width is 3/,
      "1:38",
    ],
    [
      "a default printer that is not there",
      `{ "defaults": { "printer": "x" } }`,
      /defaults\.printer must be/,
      "1:28",
    ],
  ];
  for (const [name, text, message, at] of wrong) {
    it(`wrong: ${name}`, () => {
      const { problem } = evaluateText(
        withImports(`${POT} export default mold(shrink(pot, 0.1));`),
        settings(text),
      );
      expect(problem?.message).toMatch(message);
      expect(problem?.place.file).toBe(`${FOLDER}/slabwright.json`);
      expect(`${problem?.place.line}:${problem?.place.column}`).toBe(at);
    });
  }

  it("a change of an option that comes from it edits it, comments kept", () => {
    const { design } = evaluateText(
      withImports(`${POT}\nexport default mold(shrink(pot, 0.1), { wall: 4, rim: { width: 6 } });`),
      settings(`{\n  // ours\n  "defaults": { "wall": 3, "flange": { "width": 12 } } // kept\n}`),
    );
    const { call } = (design!.value as Mold).spec;
    const edited = (path: string[], value: number) => {
      const change = { kind: "setOption", call, argument: 1, path, value } as const;
      const written = design!.editsFor(change);
      if (!("edits" in written)) throw new Error(written.refusal.message);
      const [{ file }] = written.edits;
      return { file, text: applyEdits(design!.texts.get(file)!, written.edits) };
    };
    const flange = edited(["flange", "width"], 18);
    expect(flange.file).toBe(`${FOLDER}/slabwright.json`);
    expect(flange.text).toBe(
      `{\n  // ours\n  "defaults": { "wall": 3, "flange": { "width": 18 } } // kept\n}`,
    );
    // What the design says itself, or what nobody says, is written into the design.
    expect(edited(["wall"], 5).text).toContain("wall: 5");
    expect(edited(["slab"], 7)).toMatchObject({ text: expect.stringContaining("slab: 7") as string });
  });

  it("the editor's schema says that it is generated, and knows the same keys", () => {
    const schema = settingsJsonSchema() as { $comment: string; properties: object };
    expect(schema.$comment).toMatch(/^Generated by .* Do not edit\.$/);
    expect(Object.keys(schema.properties)).toEqual(["$schema", "printers", "clays", "hand", "defaults"]);
  });
});

it("a part too long for the bed is sent to a printer that takes it", async () => {
  const entry = `${FOLDER}/pot.mold.ts`;
  const engine = new Engine(parts, () => undefined);
  const text = withImports(
    `\nexport default mold(shrink(revolve([[30, 0], [40, 240]]), 0.1), { seams: split({ parts: 3 }) });`,
  );
  const { findings } = await engine.build({
    type: "build",
    id: 1,
    entry,
    root: FOLDER,
    overlays: {
      [entry]: text,
      [`${FOLDER}/slabwright.json`]: KEPT.replace(/"defaults": .*\n/, `"defaults": {}\n`),
    },
    overrides: {},
    quality: "typing",
    have: [],
    fixes: true,
  });
  const fixes = findings.filter((one) => one.code === "bed-overflow").flatMap((one) => one.fixes);
  expect(fixes.length).toBeGreaterThan(0);
  for (const fix of fixes) {
    expect(fix.title).toBe("Print it on “cellar”");
    expect(applyEdits(text, fix.edits)).toContain(`printer: "cellar"`);
  }
});
