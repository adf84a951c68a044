import { describe, expect, it } from "vitest";
import type { LocatedFinding } from "../../../shared/finding.ts";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";

const ENTRY = "/designs/sample.mold.ts";
const engine = new Engine(parts, () => undefined);

async function check(text: string, fixes = true): Promise<LocatedFinding[]> {
  const result = await engine.build({
    type: "build",
    id: 1,
    entry: ENTRY,
    root: "/designs",
    overlays: { [ENTRY]: text },
    overrides: {},
    quality: "idle",
    have: [],
    fixes,
  });
  expect(result.problem).toBeUndefined();
  return result.findings;
}

const design = (seams: string, body: string) => `
import { loft, mold, profile, shrink, split } from "slabwright";
export default mold(shrink(${body}, 0.12), { seams: ${seams} });
`;

/** mm², all parts together. */
const areaOf = (findings: LocatedFinding[]) =>
  findings.filter((one) => one.code === "undercut").reduce((sum, { args }) => sum + Number(args.area), 0);

const hexagon = "loft([0, 80].map((z) => profile.polygon({ sides: 6, acrossFlats: 70 }).at(z)))";
const square =
  "loft([60, 76].map((acrossFlats, i) => profile.polygon({ sides: 4, acrossFlats }).at(80 * i)))";
const twisted = "loft([0, 1].map((i) => profile.ellipse({ width: 80, depth: 66 }).turn(40 * i).at(100 * i)))";

/** A fix is only shown when its edit was made, computed again, and the finding was gone. */
describe("other seams as a fix, with what they were measured to change", () => {
  it.each([
    [
      "a seam in the middle of a flat is turned to a corner",
      "draft-low",
      "split({ parts: 2, at: 30 })",
      hexagon,
      /^Turn the seams to 0°: least draft -?0 → 30°$/,
      "split({ parts: 2, at: 0 })",
    ],
    [
      "a part that reaches around a square",
      "undercut",
      "split({ parts: 2, at: [20, 300] })",
      square,
      /undercut \d+ → 0 mm²$/,
      "at: ",
    ],
    [
      "two parts on a twisted form: three",
      "undercut",
      "split({ parts: 2 })",
      twisted,
      /^Split into 3 parts: undercut \d+ → 0 mm²$/,
      "split({ parts: 3 })",
    ],
  ])("%s", async (_, code, seams, body, title, written) => {
    const text = design(seams, body);
    const found = await check(text);
    const [finding] = found.filter((one) => one.code === code);
    expect(finding).toBeDefined();
    const fix = finding.fixes.find((one) => title.test(one.title));
    expect(finding.fixes.map((one) => one.title)).toContain(fix?.title);
    const after = applyEdits(text, fix!.edits);
    expect(after).toContain(written);
    const left = (await check(after)).filter((one) => one.code === code && one.part === finding.part);
    expect(left).toEqual([]);
    // The title says what was found, not what was expected on coarser cells.
    if (code === "undercut") expect(fix?.args).toMatchObject({ before: areaOf(found), after: areaOf(left) });
  });

  it("the best seams as they are have nothing to turn", async () => {
    const codes = (await check(design("split({ parts: 3 })", hexagon))).map((one) => one.code);
    for (const code of ["undercut", "draft-low", "part-locked"]) expect(codes).not.toContain(code);
  });

  it("where none frees the form, those that hold the least are offered, with what was found when they were made", async () => {
    const fluted = `[0, 25, 50].map((z, i) => profile.wave({ diameter: 140, waves: 14, amplitude: 17 }).scale([1, 0.85, 1][i]).at(z))`;
    const text = design("split({ parts: 4, at: 10 }), flange: { width: 20 }", `loft(${fluted})`);
    const found = await check(text);
    const [first] = found.filter((one) => one.code === "undercut");
    expect(first.fixes.length).toBeGreaterThan(0);
    for (const fix of first.fixes) {
      expect(fix.lessens).toBe(true);
      const left = areaOf(await check(applyEdits(text, fix.edits), false));
      expect(left).toBeGreaterThan(0);
      expect(left).toBeLessThan(0.95 * areaOf(found));
      expect(fix.args).toMatchObject({ before: areaOf(found), after: left });
      expect(fix.title).toMatch(new RegExp(`undercut ${areaOf(found)} → ${left} mm²$`));
    }
  });
});
