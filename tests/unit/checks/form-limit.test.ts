import { beforeAll, describe, expect, it } from "vitest";
import type { LocatedFinding } from "../../../shared/finding.ts";
import { loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";
import { realEngine, request } from "../engine/real.ts";
import { build } from "../mold/samples.ts";

beforeAll(loadKernel);

/*
 * Seams that follow the form turn with it, so over its whole height a part reaches around its span and
 * the twist. Its worst clay stands half the span, half the twist and the slant of the outline's flank
 * away from the pull, and has what is left of 90° as draft (derived): with half span + half twist +
 * flank + wanted draft ≤ 90° form-following seams serve; beyond, flat seams or one more part do.
 */
const WANTED = 2;
const halfSpan = (parts: number) => 180 / parts;

/** A twisted pot in parts that follow the form; with `wave` the outline is not round. */
const twisted = (parts: number, twist: number, wave = "") => `
import { loft, mold, profile, shrink, split } from "slabwright";
const foot = ${wave || "profile.circle({ diameter: 80 })"};
export default mold(shrink(loft([foot.at(0), foot.turn(${twist}).at(100)]), 0.12), {
  seams: split({ parts: ${parts}, at: 0 }),
});`;

async function findingsOf(text: string): Promise<LocatedFinding[]> {
  const result = await realEngine().build(request(text, {}, { quality: "idle", fixes: true }));
  expect(result.problem).toBeUndefined();
  return result.findings;
}

/** Of those that speak of leaving the clay. */
const leaving = (findings: readonly LocatedFinding[]) =>
  findings.filter(({ code }) => ["undercut", "draft-low", "part-locked"].includes(code));

describe("draft of form-following seams: 90° − half span − half twist − flank", () => {
  for (const [parts, twist] of [
    [3, 20],
    [3, 50],
    [3, 56],
    [4, 60],
    [4, 86],
    [5, 80],
  ])
    it(`a round pot, ${parts} parts, ${twist}° of twist`, () => {
      const round = profile.circle({ diameter: 80 });
      const body = shrink(loft([round.at(0), round.turn(twist).at(100)]), 0.12);
      const { model } = build(mold(body, { seams: split({ parts, at: 0 }) }), "idle");
      const least = Math.min(...model.parts.flatMap(({ draftDeg }) => draftDeg ?? []));
      expect(least).toBeCloseTo(90 - halfSpan(parts) - twist / 2, 1);
    });

  it("a waved pot has the slant of its flanks less", () => {
    // r = R + a·cos(nφ): its normal stands atan(−r′/r) off the ray (derived), most on the flanks.
    const [waves, amplitude, twist] = [24, 0.3, 20];
    let flank = 0;
    for (let k = 0; k < 36000; k++) {
      const angle = (k * Math.PI) / 18000;
      const r = 40 + amplitude * Math.cos(waves * angle);
      flank = Math.max(flank, Math.abs(Math.atan2(amplitude * waves * Math.sin(waves * angle), r)));
    }
    // With its seams on rising flanks a part has its steepest flank at the one and half a wave before the
    // other: the pull goes half-way between, a quarter of a wave to the side.
    const quarter = 360 / waves / 4;
    const outline = profile.wave({ diameter: 80, waves, amplitude });
    const body = shrink(loft([outline.at(0), outline.turn(twist).at(100)]), 0.12);
    const { model } = build(mold(body, { seams: split({ parts: 3, at: -quarter }) }), "export");
    const least = Math.min(...model.parts.flatMap(({ draftDeg }) => draftDeg ?? []));
    const expected = 90 - halfSpan(3) - twist / 2 - (flank * 180) / Math.PI + quarter;
    expect(Math.abs(least - expected)).toBeLessThan(0.3);
  });
});

describe("beyond the limit flat seams or one more part are offered, and cure it", () => {
  it.each([
    [3, 56],
    [4, 86],
  ])("%i parts, %i° of twist: within it, nothing to say", async (parts, twist) => {
    expect(halfSpan(parts) + twist / 2 + WANTED).toBeLessThanOrEqual(90);
    expect(leaving(await findingsOf(twisted(parts, twist)))).toEqual([]);
  });

  it.each([
    [3, 70, ["flat", "parts"]],
    // Five parts would hold each other by seams that turn further than a part is wide: only flat ones do.
    [4, 100, ["flat"]],
  ])("%i parts, %i° of twist: beyond it", async (parts, twist, ways) => {
    expect(halfSpan(parts) + twist / 2 + WANTED).toBeGreaterThan(90);
    const text = twisted(parts, twist);
    const told = leaving(await findingsOf(text));
    expect(told.length).toBeGreaterThan(0);
    const offered = (way: string) => (one: LocatedFinding) =>
      one.fixes.find(({ code }) => code.startsWith(`fix-seams-${way}`));
    for (const finding of told)
      expect(["flat", "parts"].filter((way) => offered(way)(finding))).toEqual(ways);
    expect(offered("parts")(told[0])?.args.value ?? parts + 1).toBe(parts + 1);
    // Each leaves nothing that speaks of leaving the clay.
    for (const way of ways) {
      const after = applyEdits(text, offered(way)(told[0])!.edits);
      expect(after).toContain(way === "flat" ? `follow: "flat"` : `parts: ${parts + 1}`);
      expect(leaving(await findingsOf(after))).toEqual([]);
    }
  });
});

describe("two parts on a twisted form", () => {
  it.each([20, 30, 40])("%i° of twist: R(1 − cos(T/2)) deep, and three parts are offered", async (twist) => {
    const round = profile.circle({ diameter: 80 });
    const body = shrink(loft([round.at(0), round.turn(twist).at(100)]), 0.12);
    const { model } = build(mold(body, { seams: split({ parts: 2, at: 0, pull: "level" }) }), "idle");
    const radius = 40 / 0.88;
    const deep = radius * (1 - Math.cos((twist * Math.PI) / 360));
    const walls = model.parts.filter(({ role }) => role === "wall");
    for (const { undercutMm } of walls) expect(Math.abs(undercutMm / deep - 1)).toBeLessThan(0.05);
    const text = twisted(2, twist);
    const told = leaving(await findingsOf(text));
    expect(told.length).toBeGreaterThan(0);
    const fix = told[0].fixes.find(({ code }) => code === "fix-seams-parts")!;
    expect(fix.args.value).toBe(3);
    expect(leaving(await findingsOf(applyEdits(text, fix.edits)))).toEqual([]);
  });
});
