import { describe, expect, it } from "vitest";
import type { BuildResult } from "../../../shared/engine.ts";
import type { LocatedFinding, Severity } from "../../../shared/finding.ts";
import { cure, MOST_ROUNDS } from "../../../src/dsl/engine/cure.ts";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import { measureBars } from "../../../src/dsl/engine/measure.ts";

const FILE = "/designs/a.mold.ts";
const place = { file: FILE, line: 1, column: 1, endLine: 1, endColumn: 2 };

function found(code: LocatedFinding["code"], severity: Severity, text: string, at: number): LocatedFinding {
  const edits = [{ file: FILE, start: at, end: at + 1, text }];
  return {
    code,
    severity,
    args: {},
    message: "",
    place,
    fixes: [{ title: text, code: "", args: {}, edits }],
  };
}

/** Builds that find what `look` says of the text. */
const builds = (look: (text: string) => LocatedFinding[]) => (overlays: Record<string, string>) =>
  Promise.resolve({ findings: look(overlays[FILE]) } as unknown as BuildResult);

describe("all fixes", () => {
  it("are made one at a time, errors first, each on the text that the one before left", async () => {
    const look = (text: string) => [
      ...(text.includes("b") ? [found("draft-low", "warning", "BB", text.indexOf("b"))] : []),
      ...(text.includes("a") ? [found("undercut", "error", "AA", text.indexOf("a"))] : []),
    ];
    const result = await cure({ [FILE]: "ab" }, builds(look));
    expect(result).toEqual({ texts: { [FILE]: "AABB" }, made: ["AA", "BB"] });
  });

  it("end after ten, and where they go in circles", async () => {
    const endless = await cure(
      { [FILE]: "x" },
      builds(() => [found("undercut", "error", "xy", 0)]),
    );
    expect(endless.made).toHaveLength(MOST_ROUNDS);
    const circle = await cure(
      { [FILE]: "0" },
      builds((text) => [found("undercut", "error", text === "1" ? "2" : "1", 0)]),
    );
    expect(circle.made).toEqual(["1", "2"]);
  });

  it("are only those that make a finding go", async () => {
    const finding = found("undercut", "error", "xy", 0);
    finding.fixes[0].lessens = true;
    const result = await cure(
      { [FILE]: "x" },
      builds(() => [finding]),
    );
    expect(result).toEqual({ texts: {}, made: [] });
  });

  it("leave a design alone that has none", async () => {
    expect(
      await cure(
        { [FILE]: "x" },
        builds(() => []),
      ),
    ).toEqual({ texts: {}, made: [] });
  });

  it("cure a real design", async () => {
    const engine = new Engine(parts, () => undefined);
    const text = `import { loft, mold, profile, split } from "slabwright";
const foot = profile.circle({ diameter: 64 });
export default mold(loft([foot.at(0), foot.scale(1.2).at(80)]), { wall: 0.5, seams: split({ parts: 3 }) });
`;
    const { texts, made } = await engine.cure({
      type: "cure",
      id: 1,
      entry: FILE,
      root: "/designs",
      overlays: { [FILE]: text },
    });
    expect(made).toHaveLength(2);
    expect(texts[FILE]).toContain("mold(shrink(loft(");
    expect(texts[FILE]).toContain("wall: 1.3");
  }, 120_000);
});

describe("test bars", () => {
  const five = "wet,fired\n100,88.1\n100,87.8\n100,88.3\n100,87.9\n100,88.2\n";
  const read = (table: string, design?: string) =>
    measureBars({ type: "measure", id: 1, name: "grey", table, design });

  it("give the mean with its 95 % band: t(4)·SE = 2.7764 × 0.09274 points (Student's t)", () => {
    const result = read(five);
    if ("fault" in result) throw new Error(result.fault.reason);
    expect(result.total).toBeCloseTo(0.1194, 10);
    expect(result.bandOfMean! * 100).toBeCloseTo(2.7764 * 0.09274, 3);
    expect((result.batchPer100! * 90) / 100).toBeCloseTo(0.2631, 3);
    expect(result.scale).toBeCloseTo(1.135589, 6);
    expect(result.code).toMatch(/^clay\(\{ name: "grey", bars: \[\{ wet: 100, fired: 88.1 \}, /);
    expect(result.design).toBeUndefined();
  });

  it("say nothing of spread from one bar, and which line cannot be read", () => {
    expect(read("wet,fired\n100,88\n")).toMatchObject({ n: 1, bandOfMean: null, batchPer100: null });
    expect(read("wet,fired\n100,88\n100,x\n")).toMatchObject({ fault: { line: 3 } });
  });

  it("go into a design that can be read", () => {
    const design = 'import { shrink } from "slabwright";\nexport default shrink(a, 0.12);\n';
    expect(read(five, design)).toMatchObject({ design: { constant: "grey", used: true } });
    expect(read(five, "const = ;")).toMatchObject({ design: null });
  });
});
