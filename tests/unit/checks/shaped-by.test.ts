import { describe, expect, it } from "vitest";
import type { LocatedFinding } from "../../../shared/finding.ts";
import { Lines } from "../../../src/dsl/source/lines.ts";
import { realEngine, request } from "../engine/real.ts";

const IMPORTS = `import { fit, loft, mold, profile, revolve, shrink, split, sweep } from "slabwright";\n`;

/** The undercut of a design's first part that is held, with the words of the text that its notes stand on. */
async function held(text: string): Promise<{ finding: LocatedFinding; notes: [string, string][] }> {
  const source = IMPORTS + text;
  const { findings, problem } = await realEngine().build(request(source));
  expect(problem).toBeUndefined();
  const finding = findings.find(({ code }) => code === "undercut");
  if (!finding) throw new Error("nothing is held");
  const lines = new Lines(source);
  const notes = (finding.notes ?? []).map(({ place, message }): [string, string] => [
    source.slice(lines.offset(place.line, place.column), lines.offset(place.endLine, place.endColumn)),
    message,
  ]);
  return { finding, notes };
}

const words = (notes: [string, string][]) => notes.map(([word]) => word);

/** In two parts whose seams stand 140° apart one part reaches around the pot, most where it is widest. */
const around = (body: string, made = "") =>
  `${made}export default mold(shrink(${body}, 0.12), { seams: split({ parts: 2, at: [20, 160] }) });`;

describe("an undercut names what shapes the clay that holds", () => {
  it("the points of a turned body below and above the place, whichever they are", async () => {
    const low = await held(around("revolve([[0, 0], [30, 0], [46, 30], [24, 90]])"));
    expect(low.finding.at![2]).toBeLessThan(35);
    expect(words(low.notes).slice(0, 2)).toEqual(["[30, 0]", "[46, 30]"]);
    // The same pot with its belly high up.
    const high = await held(around("revolve([[24, 0], [27, 50], [46, 70], [34, 90]])"));
    expect(words(high.notes).slice(0, 2)).toEqual(["[27, 50]", "[46, 70]"]);
    expect(high.finding.at![2]).toBeGreaterThan(57);
  });

  it("fitting a pot changes nothing of where it is written", async () => {
    const { notes } = await held(
      around("fit(revolve([[30, 0], [46, 30], [24, 90]]), { capacity: 200, slab: 6, clay: 0.12 })"),
    );
    expect(words(notes).slice(0, 2)).toEqual(["[30, 0]", "[46, 30]"]);
  });

  it("two sections of a loft, then what turned and drew their outlines", async () => {
    const made = `const foot = profile.ellipse({ width: 60, depth: 56 });
const belly = profile.circle({ diameter: 92 });
`;
    const { finding, notes } = await held(
      around("loft([foot.at(0), foot.turn(30).at(20), belly.at(50), foot.at(90)])", made),
    );
    expect(finding.at![2]).toBeGreaterThan(20 / 0.88);
    expect(finding.at![2]).toBeLessThan(90 / 0.88);
    const worst = finding.notes![0].args;
    const own = notes.filter((_, i) => finding.notes![i].args.angle === worst.angle);
    expect(words(own).slice(0, 2)).toEqual(
      finding.at![2] < 50 / 0.88 ? ["at(20)", "belly.at(50)"] : ["belly.at(50)", "foot.at(90)"],
    );
    expect(words(own).slice(2)).toContain("profile.circle({ diameter: 92 })");
    expect(words(own).slice(2)).toContain("profile.ellipse({ width: 60, depth: 56 })");
  });

  it("a helper that is called twice is told once", async () => {
    const { notes } = await held(
      around(
        "loft([ring(30, 0), ring(46, 30), ring(24, 90)])",
        "const ring = (r, z) => profile.circle({ diameter: 2 * r }).at(z);\n",
      ),
    );
    expect(new Set(notes.map((note) => note.join())).size).toBe(notes.length);
    expect(words(notes)).toContain("at(z)");
  });

  it("each patch brings its own area, depth, height and angle", async () => {
    const { finding, notes } = await held(around("revolve([[30, 0], [46, 40], [20, 80], [26, 110]])"));
    const patches = new Map(finding.notes!.map(({ args }) => [`${args.z} ${args.angle}`, args]));
    expect(patches.size).toBeGreaterThanOrEqual(3);
    expect(finding.places!.length).toBe(patches.size);
    const [deepest] = [...patches.values()];
    expect(deepest).toMatchObject({ depth: finding.value, z: finding.args.z, angle: finding.args.angle });
    const total = [...patches.values()].reduce((sum, { area }) => sum + Number(area), 0);
    expect(Math.abs(total - Number(finding.args.area))).toBeLessThan(patches.size + 1);
    expect(notes[0][1]).toBe(
      `shapes the clay that holds ${String(finding.part)}: ${String(deepest.area)} mm² undercut, ${String(deepest.depth)} mm deep near z ${String(deepest.z)} and ${String(deepest.angle)}°`,
    );
  });

  it("a handle in halves names its sweep and its outline", async () => {
    const { notes } = await held(
      `const strap = profile.ellipse({ width: 14, depth: 9 });
export default mold(shrink(sweep(strap, [[0, 0, 60], [26, 14, 56], [32, 0, 34], [6, -14, 10]]), 0.12), { slab: "solid", seams: split.halves({ plane: "xz" }) });`,
    );
    expect(words(notes)[0]).toMatch(/^sweep\(strap/);
    expect(words(notes)).toContain("profile.ellipse({ width: 14, depth: 9 })");
  });
});
