import { describe, expect, it } from "vitest";
import type { Finding, LocatedFinding } from "../../../shared/finding.ts";
import { messages } from "../../../shared/messages.ts";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import { englishSentence } from "../../../src/dsl/engine/findings.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";
import { oneEach } from "../../../src/dsl/checks/one-each.ts";
import { panelBend } from "../../../src/dsl/checks/wall.ts";
import { ENTRY, FOLDER, request } from "../engine/real.ts";

// Titles of fixes come as their codes, so that the tests can tell which were offered.
const engine = new Engine(
  {
    ...parts,
    sentence: (code, args) => (code.startsWith("fix-") ? code : englishSentence(code, args)),
  },
  () => undefined,
);

async function check(text: string, files: Record<string, string> = {}): Promise<LocatedFinding[]> {
  const result = await engine.build(request(text, files, { fixes: true }));
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

const cases: {
  name: string;
  code: string;
  text: string;
  range: string;
  severity: string;
  fixed?: string;
  files?: Record<string, string>;
}[] = [
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
  {
    name: "a part longer than the fallback bed, in a workshop that has a larger printer",
    code: "bed-overflow",
    severity: "warning",
    text: design("mold(shrink(pot, 0.12))", "loft([foot.at(0), foot.at(240)])"),
    files: { "slabwright.json": `{ "printers": { "tall": { "bed": [300, 300, 400] } } }` },
    range: "mold(shrink(pot, 0.12))",
    fixed: `printer: "tall"`,
  },
  {
    name: "a dish of one piece wider than the bed",
    code: "bed-overflow",
    severity: "error",
    text: design(
      "mold(shrink(pot, 0.12), { seams: split.whole(), printer: { bed: [200, 200, 200] } })",
      "loft([0, 30].map((z) => profile.circle({ diameter: 150 + z }).at(z)))",
    ),
    range: "{ bed: [200, 200, 200] }",
    fixed: "glue: 4",
  },
  {
    name: "halves wider than the bed",
    code: "bed-overflow",
    severity: "error",
    text: design(
      "mold(shrink(pot, 0.12), { seams: split({ parts: 2 }), printer: { bed: [200, 200, 200] } })",
      "loft([0, 60].map((z) => profile.circle({ diameter: 140 + z / 4 }).at(z)))",
    ),
    range: "{ bed: [200, 200, 200] }",
    fixed: "parts: 4",
  },
];

/** Titles of the fixes that cured a finding somewhere below. */
const cured = new Set<string>();

const key = ({ code, mold, part }: LocatedFinding) => [code, mold, part].join(" ");

describe("findings: each at its place; each fix cures it and brings nothing new", () => {
  for (const { name, code, text, files, range, severity, fixed } of cases) {
    it(`${code}: ${name}`, async () => {
      const all = await check(text, files);
      const found = all.filter((finding) => finding.code === code);
      expect(found.length).toBeGreaterThan(0);
      const [finding] = found;
      expect(finding.severity).toBe(severity);
      expect(rangeText(text, finding)).toBe(range);
      expect(finding.value).toBeTypeOf("number");
      expect(finding.limit).toBeTypeOf("number");
      expect(finding.unit).toBeTypeOf("string");
      if (fixed === undefined) return;
      expect(finding.fixes.length).toBeGreaterThan(0);
      for (const fix of finding.fixes) {
        const left = (await check(applyEdits(text, fix.edits), files)).map(key);
        expect(left, fix.title).not.toContain(key(finding));
        expect(
          left.filter((one) => !all.map(key).includes(one)),
          fix.title,
        ).toEqual([]);
        cured.add(fix.title);
      }
      expect(finding.fixes.map((fix) => applyEdits(text, fix.edits)).join()).toContain(fixed);
    });
  }

  it("every fix that there is cured something here, or in the tables of the seams, of the bench and of what encloses no clay", () => {
    const elsewhere =
      /^fix-(seams-.*|corner|slab|press-parts|base-last|cross-seam|open-end|flange-thickness)$/;
    const fixes = Object.keys(messages).filter((code) => code.startsWith("fix-") && !elsewhere.test(code));
    expect([...cured].sort()).toEqual(fixes.sort());
  });

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

describe("fixes through the ways of writing", () => {
  const bare = "mold(pot)";
  const shrinkFix = (text: string, files: Record<string, string> = {}) =>
    check(text, files).then((all) => all.find((one) => one.code === "shrink-missing")?.fixes ?? []);

  it("in CRLF text, comments kept", async () => {
    const text = design(bare).replace("mold(pot)", "mold(/* the outside */ pot)").replaceAll("\n", "\r\n");
    const [fix] = await shrinkFix(text);
    const after = applyEdits(text, fix.edits);
    expect(after).toContain("mold(/* the outside */ shrink(pot, 0.12))");
    expect(after.replaceAll("\r\n", "")).not.toContain("\n");
    expect((await check(after)).map(({ code }) => code)).not.toContain("shrink-missing");
  });

  it("in a file of helpers that the design imports, with the line that led there", async () => {
    const text = `import { pot } from "./parts";\nimport { make } from "./make";\nexport default make(pot);\n`;
    const files = {
      "parts.ts": `import { loft, profile } from "slabwright";
const foot = profile.circle({ diameter: 64 });
export const pot = loft([foot.at(0), foot.scale(1.2).at(80)]);
`,
      "make.ts": `import { mold, type Body } from 'slabwright'\nexport const make = (body: Body) =>\n  mold(body)\n`,
    };
    const found = (await check(text, files)).find((one) => one.code === "shrink-missing");
    expect(found?.place).toMatchObject({ file: `${FOLDER}/make.ts`, line: 3, column: 8 });
    expect(found?.related).toMatchObject({ file: ENTRY, line: 3 });
    const [fix] = found?.fixes ?? [];
    const after = applyEdits(files["make.ts"], fix.edits);
    expect(after).toContain("mold(shrink(body, 0.12))");
    expect(after).toContain("import { mold, type Body, shrink } from 'slabwright'\n");
    expect((await check(text, { ...files, "make.ts": after })).map(({ code }) => code)).not.toContain(
      "shrink-missing",
    );
  });

  it.each([
    ["a constant used once", "const thick = 0.5;", "{ wall: thick }", "const thick = 1.3;"],
    ["options in a constant", "const options = { wall: 0.5 };", "options", "{ wall: 1.3 }"],
    ["a constant used twice", "const thick = 0.5;\nconsole.log(thick);", "{ wall: thick }", null],
    ["a computed value", "", "{ wall: 1 / 2 }", null],
    ["a spread", "const thin = { wall: 0.5 };", "{ ...thin }", null],
  ])("%s", async (_name, before, options, after) => {
    const text = design(`mold(shrink(pot, 0.12), ${options})`).replace("const pot", `${before}\nconst pot`);
    const finding = (await check(text)).find((one) => one.code === "wall-thin");
    expect(finding?.severity).toBe("error");
    expect(finding?.fixes.map((fix) => fix.title)).toEqual(after === null ? [] : ["fix-wall"]);
    if (after !== null) expect(applyEdits(text, finding?.fixes[0].edits ?? [])).toContain(after);
  });
});

describe("one finding for each code, call and part", () => {
  it("a loop of molds says once what is wrong with all of them, and of the worst", async () => {
    const text = design(
      "Object.fromEntries([100, 160, 130].map((h) => [`m${h}`, mold(shrink(loft([foot.at(0), foot.at(h)]), 0.12), { seams: split({ parts: 3 }), printer: { bed: [220, 220, 100] } })]))",
    );
    const found = (await check(text)).filter((one) => one.code === "bed-overflow");
    expect(found.map(({ mold, part }) => [mold, part])).toEqual([
      ["m160", "wall-a"],
      ["m160", "wall-b"],
      ["m160", "wall-c"],
    ]);
  });

  it("keeps the places of all, the worst first, twenty at most", () => {
    const one = (depth: number, part = "wall-a", call = 3): Finding => ({
      code: "undercut",
      severity: depth > 0.5 ? "error" : "warning",
      args: {},
      target: { call },
      part,
      value: depth,
      limit: 0.5,
      unit: "mm",
      at: [depth, 0, 0],
    });
    const found = oneEach([one(0.2), one(2), one(1), one(2, "wall-b"), one(2, "wall-a", 4)]);
    expect(found.map(({ value, part, target, places }) => [value, part, target.call, places])).toEqual([
      [
        2,
        "wall-a",
        3,
        [
          [2, 0, 0],
          [0.2, 0, 0],
          [1, 0, 0],
        ],
      ],
      [2, "wall-b", 3, undefined],
      [2, "wall-a", 4, undefined],
    ]);
    expect(oneEach(Array.from({ length: 50 }, (_, i) => one(i + 1)))[0].places).toHaveLength(20);
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
