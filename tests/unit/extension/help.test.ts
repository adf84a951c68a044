import { describe, expect, it, vi } from "vitest";
import type { CallView, MoldNumbers, MoldView } from "../../../shared/engine.ts";
import { showLengths } from "../../../shared/units.ts";
import { barsTable, pastedBars } from "../../../src/extension/commands/bars.ts";
import { reportText } from "../../../src/extension/describe/report.ts";
import { describeDesign } from "../../../src/extension/describe/text.ts";
import { callAt, firedLengths, moldsOf } from "../../../src/extension/language/calls.ts";
import { difference } from "../../../src/extension/language/fixAll.ts";
import { parseBars } from "../../../src/dsl/clay/bars.ts";

vi.mock("vscode", () => ({
  CodeActionKind: { SourceFixAll: { append: (name: string) => name } },
  l10n: {
    t: (text: string, ...values: unknown[]) =>
      text.replace(/\{(\d)\}/g, (_, i: string) => String(values[Number(i)])),
  },
}));

const numbers: MoldNumbers = {
  clay: { name: "grey", total: 0.125, used: 0 },
  slab: 6,
  wall: 3.14,
  press: "closed",
  base: "open",
  side: "outside",
  stand: "foot",
  open: "top",
  fired: { capacityMl: 301.6, massG: 482 },
  wet: { massG: 664.4, slabAreaMm2: 54_321 },
  leastDraftDeg: 4.96,
  parts: [
    {
      name: "wall-a",
      role: "wall",
      size: [60.2, 30, 118.9],
      draftDeg: 4.96,
      undercutMm2: 12,
      undercutMm: 0.31,
      filamentG: 55.5,
      printHours: 2.02,
    },
  ],
  seams: [{ name: "seam-1", parts: ["wall-b", "wall-a"], follow: "form", atDeg: 22.5, keys: 3 }],
  moves: [
    { part: "wall-a", direction: [0.9848, 0, 0.17365], mm: 60, against: ["wall-b"] },
    { part: "floor", direction: [0, 0, -1], mm: 20, against: [] },
  ],
};
const mold = { name: "cup", fired: [80, 80, 104], wet: [91.43, 91.43, 118.86], numbers, calls: [4, 2, 3] };
const place = { file: "/home/somebody/pots/cup.mold.ts", line: 9, column: 1, endLine: 9, endColumn: 5 };
const finding = {
  code: "draft-low" as const,
  severity: "warning" as const,
  args: {},
  message: "My secret part drags.",
  value: 1,
  limit: 2,
  unit: "°",
  place,
  fixes: [],
};

describe("lengths", () => {
  it("are read in mm, to half a mm, with inches for whoever wants them", () => {
    expect(showLengths([80, 80.2, 104.3], "mm")).toBe("80 × 80 × 104.5 mm");
    expect(showLengths([101.6], "mmAndInches")).toBe("101.5 mm (4 in)");
    expect(showLengths([97.14], "mm", 0.1)).toBe("97.1 mm");
  });
});

describe("a design as text", () => {
  const text = describeDesign(
    { name: "cup", molds: [mold as unknown as MoldView], findings: [finding], problem: undefined },
    "mm",
  );

  it.each([
    "Design cup",
    "  Fired: 80 × 80 × 104 mm (width, depth, height)",
    "  Wet: 91.4 × 91.4 × 118.9 mm",
    "  Clay grey: shrinks 12.5 %",
    "  Slab 6 mm: 543 cm², 665 g wet",
    "  Holds 302 mL fired, to the brim",
    "  Least draft 5°",
    "    wall-a: 60 × 30 × 119 mm, filament 56 g, about 2 h, draft 5°, undercut 12 mm² to 0.3 mm",
    "    seam-1 between wall-b and wall-a, at 22.5°, keys: 3",
    "    1. wall-a: towards 0°, rising 10°, 60 mm, sliding along wall-b",
    "    2. floor: straight down, 20 mm, touching nothing",
    "Findings: 1 warning",
    "  Warning, draft-low: My secret part drags.",
  ])("says “%s”", (line) => expect(text.split("\n")).toContain(line));

  it("says that the design does not run", () => {
    const problem = { code: "syntax", message: "This does not parse.", place };
    const said = describeDesign({ name: "cup", molds: [], findings: [], problem }, "mm");
    expect(said).toContain("The design does not run, line 9: This does not parse.");
    expect(said).toContain("There is no mold to describe.");
  });
});

describe("a report", () => {
  const design = {
    name: "cup",
    files: [place.file],
    molds: [{ parts: 5, triangles: 9000 }],
    findings: [finding],
    problem: { code: "thrown", message: "Error: my secret", place },
    timings: { evaluate: 12.4 },
  };
  const report = { versions: { slabwright: "0.1.0" }, settings: { timeLimit: 10 } };

  it("holds numbers, and neither folders nor what the maker wrote", () => {
    const text = reportText({ ...report, design });
    expect(text).toContain("warning draft-low at cup.mold.ts:9:1, 1 ° (limit 2), fixes: 0");
    expect(text).toContain("does not run: thrown at cup.mold.ts:9:1");
    expect(text).toContain("- evaluate: 12 ms");
    expect(text).not.toMatch(/secret|somebody|\/home/);
  });

  it("holds the text when that is asked for", () => {
    expect(reportText({ ...report, design: { ...design, text: "export default 1;" } })).toContain(
      "```ts\nexport default 1;\n```",
    );
  });

  it("can do without a design", () => expect(reportText(report)).toContain("No design was open."));
});

describe("calls in a text", () => {
  const at = (line: number, from: number, to: number) => {
    return { file: "a", line, column: from, endLine: line, endColumn: to };
  };
  const calls: CallView[] = [
    { call: 1, name: "profile.circle", chain: [at(1, 10, 40)], lights: [2] },
    { call: 2, name: "loft", chain: [at(2, 1, 60)], lights: [2] },
    { call: 5, name: "at", chain: [at(2, 7, 20)], lights: [2] },
    { call: 4, name: "mold", chain: [at(4, 1, 30)], lights: [4] },
  ];

  it("the innermost holds the cursor", () => {
    expect(callAt(calls, "a", { line: 2, column: 9 })?.name).toBe("at");
    expect(callAt(calls, "a", { line: 2, column: 25 })?.name).toBe("loft");
    expect(callAt(calls, "b", { line: 2, column: 25 })).toBeUndefined();
    expect(callAt(calls, "a", { line: 3, column: 1 })).toBeUndefined();
  });

  it("leads to the molds it went into", () => {
    const molds = [mold as unknown as MoldView];
    expect(moldsOf(calls[0], molds)).toEqual(molds);
    expect(moldsOf({ ...calls[0], lights: [77] }, molds)).toEqual([]);
  });

  it("fired lengths are plain numbers of outlines and heights above the board", () => {
    const text = "polygon({ sides: 8, acrossFlats: 62, corner: 4 })";
    expect(firedLengths("profile.polygon", text)).toEqual([{ mm: 62, end: text.indexOf("62") + 2 }]);
    expect(firedLengths("profile.circle", "circle({ diameter: 62 * 2 })")).toEqual([]);
    expect(firedLengths("at", "at(104)")).toEqual([{ mm: 104, end: 6 }]);
    expect(firedLengths("at", "lip.at(104)")).toEqual([{ mm: 104, end: 10 }]);
    expect(firedLengths("at", "at(0)")).toEqual([]);
    expect(firedLengths("at", "at(height)")).toEqual([]);
    expect(firedLengths("mold", "mold(x, { width: 3 })")).toEqual([]);
  });
});

describe("the one stretch in which texts differ", () => {
  it.each([
    ["abc", "abXc"],
    ["aaa", "aa"],
    ["", "x"],
    ["same", "same"],
    ["one two", "two one"],
  ])("%s → %s", (old, text) => {
    const { start, end, added } = difference(old, text);
    expect(old.slice(0, start) + added + old.slice(end)).toBe(text);
    if (old === text) expect({ start, added }).toEqual({ start: end, added: "" });
  });
});

describe("test bars that were typed in", () => {
  it("are a table that the engine reads, decimal comma or point", () => {
    expect(parseBars(barsTable("100", ["88,1", "87.8"]))).toEqual([
      { wet: 100, fired: 88.1 },
      { wet: 100, fired: 87.8 },
    ]);
  });

  it("may be pasted into one line", () => {
    const two = [
      { wet: 100, dry: 94, fired: 88 },
      { wet: 100, dry: 94.2, fired: 87.8 },
    ];
    expect(parseBars(pastedBars("wet,dry,fired 100,94,88 100,94.2,87.8")!)).toEqual(two);
    expect(parseBars(pastedBars("wet;dry;fired\n100;94;88\n100;94,2;87,8\n")!)).toEqual(two);
    expect(pastedBars("100")).toBeUndefined();
    expect(pastedBars("wet")).toBeUndefined();
  });
});
