import { describe, expect, it } from "vitest";
import type { LocatedFinding } from "../../../shared/finding.ts";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { englishSentence } from "../../../src/dsl/engine/findings.ts";
import { packages } from "../../../src/dsl/engine/packages.ts";
import { computeBuild, computeExport } from "../../../src/dsl/engine/pipeline.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";
import { panelBend } from "../../../src/dsl/checks/wall.ts";

const ENTRY = "/designs/sample.mold.ts";
const engine = new Engine(
  { packages, computeBuild, computeExport, sentence: englishSentence, plainDesign: "" },
  () => undefined,
);

async function check(text: string): Promise<LocatedFinding[]> {
  const result = await engine.build({
    type: "build",
    id: 1,
    entry: ENTRY,
    root: "/designs",
    overlays: { [ENTRY]: text },
    overrides: {},
    quality: "typing",
    have: [],
    fixes: true,
  });
  expect(result.problem).toBeUndefined();
  return result.findings;
}

const design = (mold: string, body = "loft([foot.at(0), foot.scale(1.2).at(80)])") => `
import { key, loft, mold, profile, shrink, split } from "slabwright";
const foot = profile.circle({ diameter: 64 });
const pot = ${body};
export default ${mold};
`;

/** The words that a range covers. */
function rangeText(text: string, { place }: LocatedFinding): string {
  const lines = text.split("\n");
  if (place.line === place.endLine) return lines[place.line - 1].slice(place.column - 1, place.endColumn - 1);
  return lines[place.line - 1].slice(place.column - 1);
}

const cases: { name: string; code: string; text: string; range: string; severity: string; fixed?: string }[] =
  [
    {
      name: "a body that was never shrunk",
      code: "shrink-missing",
      severity: "error",
      text: design("mold(pot)"),
      range: "pot",
      fixed: "mold(shrink(pot, 0.12))",
    },
    {
      name: "a body that was shrunk twice",
      code: "shrink-twice",
      severity: "error",
      text: design("mold(shrink(shrink(pot, 0.12), 0.1))"),
      range: "shrink(shrink(pot, 0.12), 0.1)",
      fixed: "mold(shrink(pot, 0.12))",
    },
    {
      name: "a wall under two lines of the nozzle",
      code: "wall-thin",
      severity: "error",
      text: design("mold(shrink(pot, 0.12), { wall: 0.5 })"),
      range: "0.5",
      fixed: "wall: 1.3",
    },
    {
      name: "flats that bend under the hand",
      code: "wall-thin",
      severity: "warning",
      text: design(
        "mold(shrink(pot, 0.12), { wall: 2 })",
        "loft([0, 120].map((z) => profile.polygon({ sides: 4, acrossFlats: 100, corner: 4 }).at(z)))",
      ),
      range: "2",
      fixed: "wall: ",
    },
    {
      name: "a flange too narrow for its keys",
      code: "key-no-room",
      severity: "error",
      text: design(
        "mold(shrink(pot, 0.12), { flange: { width: 10 }, keys: key() })",
        "loft([foot.at(0), foot.at(80)])",
      ),
      range: "key()",
      fixed: "flange: { width: ",
    },
    {
      name: "keys too large for the flange",
      code: "key-no-room",
      severity: "error",
      text: design("mold(shrink(pot, 0.12), { keys: key({ size: 10 }) })", "loft([foot.at(0), foot.at(80)])"),
      range: "key({ size: 10 })",
      fixed: "size: 7",
    },
    {
      name: "parts that reach around a flared square",
      code: "undercut",
      severity: "error",
      text: design(
        "mold(shrink(pot, 0.12), { seams: split({ parts: 2, at: [20, 300] }) })",
        "loft([60, 76].map((acrossFlats, i) => profile.polygon({ sides: 4, acrossFlats }).at(80 * i)))",
      ),
      range: "split({ parts: 2, at: [20, 300] })",
    },
    {
      name: "a seam in the middle of a flat",
      code: "draft-low",
      severity: "warning",
      text: design(
        "mold(shrink(pot, 0.12), { seams: split({ parts: 2, at: 30 }) })",
        "loft([0, 80].map((z) => profile.polygon({ sides: 6, acrossFlats: 70 }).at(z)))",
      ),
      range: "split({ parts: 2, at: 30 })",
    },
    {
      name: "a part longer than the fallback bed",
      code: "bed-overflow",
      severity: "warning",
      text: design("mold(shrink(pot, 0.12))", "loft([foot.at(0), foot.at(240)])"),
      range: "mold(shrink(pot, 0.12))",
    },
    {
      name: "a part longer than the bed that the maker named",
      code: "bed-overflow",
      severity: "error",
      text: design(
        "mold(shrink(pot, 0.12), { printer: { bed: [220, 220, 100] } })",
        "loft([foot.at(0), foot.at(120)])",
      ),
      range: "{ bed: [220, 220, 100] }",
    },
  ];

describe("findings: each at its place, each fix cures it", () => {
  for (const { name, code, text, range, severity, fixed } of cases) {
    it(`${code}: ${name}`, async () => {
      const found = (await check(text)).filter((finding) => finding.code === code);
      expect(found.length).toBeGreaterThan(0);
      const [finding] = found;
      expect(finding.severity).toBe(severity);
      expect(rangeText(text, finding)).toBe(range);
      expect(finding.value).toBeTypeOf("number");
      expect(finding.limit).toBeTypeOf("number");
      if (fixed === undefined) return;
      expect(finding.fixes.length).toBeGreaterThan(0);
      for (const fix of finding.fixes) {
        const after = applyEdits(text, fix.edits);
        const left = await check(after);
        expect(
          left.filter((one) => one.code === code && one.part === finding.part),
          fix.title,
        ).toEqual([]);
      }
      expect(finding.fixes.map((fix) => applyEdits(text, fix.edits)).join()).toContain(fixed);
    });
  }

  it("a sound design has none", async () => {
    expect(await check(design("mold(shrink(pot, 0.12), { seams: split({ parts: 3 }) })"))).toEqual([]);
  });

  it("shrink(body, 0) is a decision", async () => {
    const codes = (await check(design("mold(shrink(pot, 0), { seams: split({ parts: 3 }) })"))).map(
      (one) => one.code,
    );
    expect(codes).not.toContain("shrink-missing");
  });
});

/** 2.5 mm, 100 N, E 3 GPa: 0.45 mm at 60 mm span, 1.0 at 90, 5 at 200 (derived). */
describe("bending of a clamped flat", () => {
  for (const [span, bend, digits] of [
    [60, 0.45, 2],
    [90, 1.0, 1],
    [200, 5, 1],
  ] as const) {
    it(`${span} mm: ${bend} mm`, () => expect(panelBend(span, 2.5)).toBeCloseTo(bend, digits));
  }
});
