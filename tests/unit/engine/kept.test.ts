import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { BuildResult } from "../../../shared/engine.ts";
import { evaluate } from "../../../src/dsl/evaluate/index.ts";
import { exportedMolds } from "../../../src/dsl/engine/molds.ts";
import { packages } from "../../../src/dsl/engine/packages.ts";
import { KeptMolds, type Shown } from "../../../src/dsl/engine/kept-molds.ts";
import { digestOfSpec } from "../../../src/dsl/kit/digest.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { ENTRY, FOLDER, realEngine, request } from "./real.ts";

function moldsOf(text: string): { name: string; mold: Mold }[] {
  const { design, problem } = evaluate({ entry: ENTRY, root: FOLDER, overlays: { [ENTRY]: text }, packages });
  expect(problem).toBeUndefined();
  const exported = exportedMolds(design?.value, "sample");
  if (exported.kind !== "molds") throw new Error("no mold");
  return exported.molds;
}
const digests = (text: string) => moldsOf(text).map(({ mold }) => digestOfSpec(mold));

const beaker = readFileSync(join(import.meta.dirname, "../../../examples/octagon-beaker.mold.ts"), "utf8");

describe("the digest of a mold", () => {
  const [digest] = digests(beaker);

  it.each([
    ["a comment", beaker.replace("const foot", "/* wide */ const foot")],
    ["blanks and lines", beaker.replaceAll("const ", "\n  const   ")],
    ["another way to write a number", beaker.replace("104", "100 + 4")],
  ])("%s changes nothing", (_name, text) => {
    expect(text).not.toBe(beaker);
    expect(digests(text)).toEqual([digest]);
  });

  it.each([
    ["a height", beaker.replace("lip.at(104)", "lip.at(104.001)")],
    ["a width", beaker.replace("acrossFlats: 80", "acrossFlats: 80.001")],
    ["a corner", beaker.replace("corner: 8", "corner: 8.001")],
    ["a side", beaker.replace(`"straight"`, `"smooth"`)],
    ["a turn", beaker.replace("lip.at", "lip.turn(0.001).at")],
    ["the shrinkage", beaker.replace("0.125", "0.1251")],
    ["the slab", beaker.replace("slab: 6", "slab: 6.1")],
    ["the number of parts", beaker.replace("parts: 4", "parts: 2")],
    ["a key", beaker.replace(`shape: "cone"`, `shape: "dome"`)],
    ["a cutter", beaker.replace("cutter.base()", "cutter.base({ allowance: 3 })")],
    ["a call before it, whose number faces carry", `profileBefore\n${beaker}`],
  ])("%s changes it", (_name, changed) => {
    const text = changed.startsWith("profileBefore")
      ? beaker.replace("const foot", "profile.circle({ diameter: 9 });\nconst foot")
      : changed;
    expect(text).not.toBe(beaker);
    expect(digests(text)).not.toContain(digest);
  });

  it.each([
    "profile.circle({ diameter: D })",
    "profile.ellipse({ width: D, depth: 60 })",
    "profile.rounded({ width: D, depth: 60, corner: 9 })",
    "profile.wave({ diameter: D, waves: 7, amplitude: 1.5 })",
    "profile.superellipse({ width: D, depth: 60 })",
    "profile.polar((angle) => D / 2 + Math.cos((3 * angle * Math.PI) / 180))",
    "profile.spline([[D / 2, 0], [0, 30], [-40, 0], [0, -30]])",
  ])("tells outlines apart: %s", (outline) => {
    const text = (diameter: number) => `import { loft, mold, profile, shrink } from "slabwright";
const foot = ${outline.replaceAll("D", String(diameter))};
export default mold(shrink(loft([foot.at(0), foot.at(80)]), 0.12));
`;
    expect(digests(text(80))[0]).toMatch(/^[0-9a-f]{64}$/);
    expect(digests(text(80))).toEqual(digests(text(80)));
    expect(digests(text(80))).not.toEqual(digests(text(80.001)));
  });

  it.each(["octagon-beaker", "fluted-carafe", "tasting-dish", "beaker-handle", "sugar-jar"])(
    "%s can be looked into",
    (name) => {
      const file = join(import.meta.dirname, `../../../examples/${name}.mold.ts`);
      for (const digest of digests(readFileSync(file, "utf8"))) expect(digest).toMatch(/^[0-9a-f]{64}$/);
    },
  );

  it("what cannot be looked into has none, and is computed each time", () => {
    class Own {
      readonly inside = () => 1;
    }
    expect(digestOfSpec({ own: new Own() })).toBeNull();
    expect(digestOfSpec({ own: () => 1 })).toBeNull();
  });
});

describe("molds that come again", () => {
  const shown = (triangles: number): Shown => ({
    view: {
      surfaces: [{ geometry: { triangles: new Uint32Array(3 * triangles) } }],
    } as unknown as Shown["view"],
    findings: [],
    faces: [],
  });

  it("are computed once; of many the oldest go", () => {
    const kept = new KeptMolds();
    const computed: string[] = [];
    const [{ mold }] = moldsOf(beaker);
    const ask = (name: string, triangles = 75_000) =>
      kept.of(mold, name, "typing", () => {
        computed.push(name);
        return shown(triangles);
      });
    ask("a");
    ask("b");
    ask("a");
    // Three are too many: “b” was asked for before “a”.
    ask("c");
    ask("a");
    ask("b");
    expect(computed).toEqual(["a", "b", "c", "b"]);
  });

  it("a mold that throws is not kept", () => {
    const kept = new KeptMolds();
    const [{ mold }] = moldsOf(beaker);
    const refuse = () => {
      throw new Error("no");
    };
    expect(() => kept.of(mold, "a", "typing", refuse)).toThrow("no");
    expect(kept.of(mold, "a", "typing", () => shown(1)).findings).toEqual([]);
  });

  it("a design answers as a fresh engine does, with what the asker holds left out", async () => {
    const engine = realEngine();
    const texts = [beaker, beaker.replace("104", "110"), `// again\n${beaker}`];
    const strip = (result: BuildResult) => ({ ...result, timings: {} });
    for (const text of texts)
      expect(strip(await engine.build(request(text)))).toEqual(
        strip(await realEngine().build(request(text))),
      );
    const { molds } = await engine.build(request(beaker));
    const have = molds[0].surfaces.slice(1).map(({ digest }) => digest);
    const again = await engine.build(request(beaker, {}, { have }));
    expect(again.molds[0].surfaces.map(({ geometry }) => geometry !== undefined)).toEqual(
      molds[0].surfaces.map(({ digest }) => !have.includes(digest)),
    );
  });
});
