import { beforeAll, describe, expect, it } from "vitest";
import type { LocatedFinding } from "../../../shared/finding.ts";
import { leanOf, restOn, type Place } from "../../../src/dsl/checks/clay-grips.ts";
import { overhangsOf } from "../../../src/dsl/checks/overhang.ts";
import { beyondReach } from "../../../src/dsl/checks/reach.ts";
import { nearestOpposed } from "../../../src/dsl/checks/slab-crowded.ts";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import { loft, mold, profile, revolve, shrink, split } from "../../../src/dsl/index.ts";
import { Form } from "../../../src/dsl/form/form.ts";
import { DEFAULT_HAND } from "../../../src/dsl/kit/hand.ts";
import { buildMold } from "../../../src/dsl/mold/build.ts";
import { makeGrid } from "../../../src/dsl/mold/grid.ts";
import { reachThrough } from "../../../src/dsl/mold/press.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";
import { withImports } from "../kit/evaluated.ts";

const ENTRY = "/designs/sample.mold.ts";
const engine = new Engine(parts, () => undefined);

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

interface Case {
  name: string;
  code: string;
  severity: string;
  message: RegExp;
  text: string;
  /** What the cured text holds; absent where no edit cures. */
  fixed?: string;
}

const bottle = `revolve([[30, 0], [34, 90], [16, 140], [18, 170]])`;

const cases: Case[] = [
  {
    name: "a printer that is to scale",
    code: "shrink-later",
    severity: "info",
    message: /NOT SCALED/,
    text: `export default mold(shrink(revolve([[30, 0], [40, 80]]), 0));`,
  },
  {
    name: "sharp corners away from the seams",
    code: "corner-sharp",
    severity: "warning",
    message: /its radius is 0 mm .* bends by 60° wants 2 mm/,
    text: `const hexagon = profile.polygon({ sides: 6, acrossFlats: 80 });
      export default mold(shrink(loft([hexagon.at(0), hexagon.scale(1.1).at(80)]), 0.12), { seams: split({ parts: 2, at: "corners" }) });`,
    fixed: "corner: 2",
  },
  {
    name: "a fillet too small for a thick slab",
    code: "corner-sharp",
    severity: "warning",
    message: /its radius is 2\.3 mm .* a slab of 8 mm that bends by 90° wants 4 mm/,
    text: `const box = profile.rounded({ width: 90, depth: 70, corner: 2 });
      export default mold(shrink(loft([box.at(0), box.at(60)]), 0.12), { slab: 8, seams: split({ parts: 2, at: 0 }) });`,
    fixed: "corner: 4",
  },
  {
    name: "a level edge",
    code: "corner-sharp",
    severity: "warning",
    message: /along a level edge: its radius is 0 mm/,
    text: `export default mold(shrink(revolve([[30, 0], [45, 40], [30, 80]], { side: "straight" }), 0.12), { seams: split({ parts: 3 }) });`,
  },
  {
    name: "a neck that two slabs fill",
    code: "slab-crowded",
    severity: "error",
    message: /walls that face each other are 1[12]\.\d mm apart .* two slabs of 8 mm need 16 mm/,
    text: `export default mold(shrink(revolve([[20, 0], [5.5, 40], [20, 80]]), 0.1), { slab: 8, seams: split({ parts: 2 }), limits: { undercut: 20 } });`,
    fixed: "slab: 4",
  },
  {
    name: "a narrow neck",
    code: "slab-crowded",
    severity: "warning",
    message: /Fingers hardly get between the slabs/,
    text: `export default mold(shrink(revolve([[20, 0], [7, 40], [20, 80]]), 0.1), { seams: split({ parts: 2 }), limits: { undercut: 20 } });`,
    fixed: "slab: 5",
  },
  {
    name: "a closed bottle that fingers do not fill",
    code: "reach-narrow",
    severity: "warning",
    message: /behind an opening of \d+ mm .* reaches (0|65) mm\. Press part by part/,
    text: `export default mold(shrink(${bottle}, 0.12), { press: "closed", seams: split({ parts: 2 }) });`,
    fixed: `press: "parts"`,
  },
  {
    name: "the base of a bottle",
    code: "reach-narrow",
    severity: "warning",
    message: /No hand presses the joint of the base/,
    text: `export default mold(shrink(${bottle}, 0.12), { press: "parts", base: "floor", seams: split({ parts: 2 }) });`,
    fixed: `base: "open"`,
  },
  {
    name: "a tall vase that an arm does not fit into",
    code: "seam-unreachable",
    severity: "warning",
    message: /The hand is too short for the joint of the base: it lies 2\d\d mm deep/,
    text: `export default mold(shrink(revolve([[48, 0], [50, 240]]), 0.12), { press: "parts", base: "floor", seams: split({ parts: 3 }) });`,
    fixed: `base: "open"`,
  },
  {
    name: "a lip that flares 45° high above the board",
    code: "clay-grips",
    severity: "warning",
    message: /tightens on wall-[abc]: when \d(\.\d)? % of shrinkage are over/,
    text: `export default mold(shrink(revolve([[22, 0], [24, 120], [24, 150], [44, 170]]), 0.12), { seams: split({ parts: 3 }) });`,
    fixed: `levels: [150]`,
  },
  {
    name: "a shoulder that hangs over in the print",
    code: "overhang",
    severity: "warning",
    message: /mm² of wall-[ab] hang over by more than 45°/,
    text: `export default mold(shrink(revolve([[30, 0], [40, 60], [20, 72], [20, 100]]), 0.12), { seams: split({ parts: 2 }) });`,
  },
];

describe("what will go wrong at the bench: each at its place, each fix cures it", () => {
  for (const { name, code, severity, message, text, fixed } of cases) {
    it(`${code}: ${name}`, async () => {
      const source = withImports(`\n${text}`);
      const found = (await check(source)).filter((finding) => finding.code === code);
      expect(found.length).toBeGreaterThan(0);
      const [finding] = found;
      expect(finding.severity).toBe(severity);
      expect(finding.message).toMatch(message);
      expect(finding.place.line).toBeGreaterThan(1);
      if (code !== "shrink-later") {
        expect(finding.value).toBeTypeOf("number");
        expect(finding.limit).toBeTypeOf("number");
        expect(finding.at).toHaveLength(3);
      }
      const cured = finding.fixes.map((fix) => applyEdits(source, fix.edits));
      if (fixed === undefined) expect(cured).toEqual([]);
      else expect(cured.join()).toContain(fixed);
      for (const after of cured) {
        const left = await check(after);
        expect(left.filter((one) => one.code === code && one.part === finding.part)).toEqual([]);
      }
    });
  }

  it("a flange too thin for the tongues between rings: the fix makes it thick enough", async () => {
    const source = withImports(
      `\nexport default mold(shrink(revolve([[30, 0], [36, 90]]), 0.12), { seams: split({ parts: 2, levels: [45] }), flange: { width: 14, thickness: 2.5 } });`,
    );
    const lowTongues = async (text: string) =>
      (await check(text)).filter(({ message }) => message.includes("gets no tongue that registers"));
    const [finding] = await lowTongues(source);
    expect(finding).toMatchObject({ code: "key-no-room", severity: "error" });
    expect(finding.message).toMatch(/in a flange of 2\.5 mm it may stand 0\.\d mm high, and needs 1 mm/);
    expect(finding.fixes.length).toBeGreaterThan(0);
    for (const fix of finding.fixes) expect(await lowTongues(applyEdits(source, fix.edits))).toEqual([]);
  });

  it("a round beaker on its board has none of these", async () => {
    const codes = (
      await check(
        withImports(
          `export default mold(shrink(revolve([[36, 0], [44, 90]]), 0.12), { seams: split({ parts: 3 }) });`,
        ),
      )
    ).map((finding) => finding.code);
    expect(codes).toEqual([]);
  });
});

describe("grip", () => {
  /** A cone frustum's side as places with their normals. */
  const cone = (foot: number, lip: number, height: number): Place[] =>
    Array.from({ length: 720 }, (_, i) => {
      const [angle, z] = [(i * Math.PI) / 36, (height * Math.floor(i / 72)) / 9];
      const slope = (lip - foot) / height;
      const r = foot + slope * z;
      const n = Math.hypot(1, slope);
      return {
        at: [r * Math.cos(angle), r * Math.sin(angle), z],
        normal: [Math.cos(angle) / n, Math.sin(angle) / n, -slope / n],
      };
    });

  it("r 24, z 185, flare 45°, rest at z 60, shrunk 0.02 → 1.43 mm (derived)", () => {
    const normal: [number, number, number] = [Math.SQRT1_2, 0, -Math.SQRT1_2];
    expect(0.02 * leanOf({ at: [24, 0, 185], normal }, [0, 0, 60])).toBeCloseTo(1.43, 2);
  });

  it("any straight cone that stands on its foot → 0 (derived)", () => {
    for (const [foot, lip] of [
      [30, 30],
      [30, 60],
      [20, 110],
    ] as const)
      expect(restOn(cone(foot, lip, 90), 0).lean).toBe(0);
  });

  it("the rest point moves to where the worst is least: a cone aside rests on its own axis", () => {
    const far = cone(30, 20, 90).map(({ at: [x, y, z], normal }): Place => ({ at: [x + 200, y, z], normal }));
    expect(restOn(far, 0).lean).toBe(0);
    const lip = cone(10, 60, 20).map(({ at: [x, y, z], normal }): Place => ({
      at: [x + 50, y, z + 100],
      normal,
    }));
    const { rest } = restOn(lip, 0);
    expect(Math.hypot(rest[0] - 50, rest[1])).toBeLessThan(0.5);
  });

  it("what lies in a half shrinks away from all of a ball, and onto the inside of a ring by its radius (derived)", () => {
    const angles = Array.from({ length: 72 }, (_, i) => (i * Math.PI) / 36);
    const circle = (r: number, sense: 1 | -1): Place[] =>
      angles.map((a) => ({
        at: [40 + r * Math.cos(a), 0, 90 + r * Math.sin(a)],
        normal: [sense * Math.cos(a), 0, sense * Math.sin(a)],
      }));
    expect(restOn(circle(30, 1), null).lean).toBe(0);
    const ring = restOn([...circle(30, 1), ...circle(20, -1)], null);
    expect(ring.lean).toBeCloseTo(20, 1);
    expect(Math.hypot(ring.rest[0] - 40, ring.rest[2] - 90)).toBeLessThan(0.2);
  });
});

describe("reach (ways in: common practice, no source)", () => {
  it("stick, two fingers, four fingers, the hand, the arm", () => {
    const reaches = [20, 25, 44.9, 45, 89, 90, 100, 101].map((opening) =>
      reachThrough(opening, DEFAULT_HAND),
    );
    expect(reaches).toEqual([0, 65, 65, 81, 81, 180, 180, Infinity]);
  });
});

describe("walls that face each other", () => {
  const gridOf = (body: Parameters<typeof mold>[0]) =>
    makeGrid(new Form(body, 1), { tolerance: 0.02, us: [], zs: [], turn: 0.26 });

  it("a rectangle, an ellipse, a narrow waist", () => {
    const prism = (outline: ReturnType<typeof profile.circle>) => loft([outline.at(0), outline.at(40)]);
    expect(
      nearestOpposed(gridOf(prism(profile.rounded({ width: 80, depth: 22, corner: 4 }))))?.distance,
    ).toBeCloseTo(22, 2);
    // Near the tips of an ellipse its walls look at each other, too, where their normals are 120° apart:
    // at points (a·cos t, b·sin t) with tan t = b·tan 60° / a, 2·b·sin t from one another.
    const t = Math.atan2(15 * Math.tan(Math.PI / 3), 40);
    const across = 2 * 15 * Math.sin(t);
    const ellipse = nearestOpposed(gridOf(prism(profile.ellipse({ width: 80, depth: 30 }))))?.distance ?? 0;
    expect(ellipse).toBeGreaterThan(across - 0.1);
    expect(ellipse).toBeLessThan(30);
    expect(nearestOpposed(gridOf(prism(profile.polygon({ sides: 3, acrossFlats: 40 }))))).toBeNull();
    const waist = nearestOpposed(
      gridOf(
        revolve([
          [30, 0],
          [9, 50],
          [30, 100],
        ]),
      ),
    );
    expect(waist?.distance).toBeCloseTo(18, 1);
    expect(Math.abs((waist?.at[2] ?? 0) - 50)).toBeLessThan(3);
  });

  it("a leaning wall counts square to itself: a steep cone is narrower than its level width", () => {
    const cone = nearestOpposed(
      gridOf(
        revolve([
          [10, 0],
          [40, 60],
        ]),
      ),
    );
    expect(cone?.distance).toBeCloseTo(20 / Math.hypot(1, 0.5), 1);
  });
});

describe("on built molds", () => {
  beforeAll(loadKernel);

  it("a corner on a seam is spared", async () => {
    const text = (at: string) =>
      withImports(`const square = profile.polygon({ sides: 4, acrossFlats: 80 });
        export default mold(shrink(loft([square.at(0), square.at(80)]), 0.12), { seams: split({ parts: 4, at: ${at} }) });`);
    const codes = async (at: string) => (await check(text(at))).map((finding) => finding.code);
    expect(await codes(`"corners"`)).not.toContain("corner-sharp");
    expect(await codes("45")).toContain("corner-sharp");
  });

  it("an overhang is what its slope says: a plain cone prints without", () => {
    const built = buildMold(
      mold(
        shrink(
          revolve([
            [30, 0],
            [44, 90],
          ]),
          0.1,
        ),
        { seams: split({ parts: 2 }) },
      ),
      "cone",
      "idle",
    );
    for (const part of built.model.parts) {
      expect(overhangsOf(part).clay.area).toBe(0);
      expect(overhangsOf(part).elsewhere.area).toBeLessThan(1500);
    }
    expect(beyondReach(built)).toBeNull();
  });

  it("a mold of one piece fills in under a flare of 68°, and nothing of it hangs over", () => {
    const flare = revolve([
      [30, 0],
      [80, 20],
      [84, 45],
    ]);
    const bare = mold(shrink(flare, 0.1), { seams: split.whole(), marks: false });
    const { model } = buildMold(bare, "flare", "idle");
    expect(overhangsOf(model.parts[0]).elsewhere.area).toBeLessThan(1);
  });
});
