import { beforeAll, describe, expect, it } from "vitest";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { build, cylinder, prism, square } from "./samples.ts";

beforeAll(loadKernel);

const drafts = (built: ReturnType<typeof build>) =>
  built.model.parts.filter((part) => part.role === "wall").map((part) => part.draftDeg!);

/**
 * A round body in k equal parts, drawn level off a straight wall, has a draft of 90 − 180/k at its
 * seams (derived: the clay's normal at a seam stands 180/k from the middle of the part).
 */
describe("draft of a round body in k parts", () => {
  for (const [parts, expected] of [
    [2, 0],
    [3, 30],
    [4, 45],
    [5, 54],
    [6, 60],
  ] as const) {
    it(`${parts} parts: ${expected}°`, () => {
      const built = build(
        mold(shrink(cylinder(), 0.12), { seams: split({ parts, at: 10, pull: "level" }) }),
        "idle",
      );
      for (const draft of drafts(built)) expect(draft).toBeCloseTo(expected, 3);
      expect(built.model.undercuts).toEqual([]);
    });
  }

  it("no draft in a hair-wide strip at the seams of two parts is no finding", () => {
    const built = build(mold(shrink(cylinder(), 0.12), { seams: split({ parts: 2, at: 0 }) }), "idle");
    expect(checkMold(built).map((finding) => finding.code)).toEqual([]);
  });
});

/** An n-gon prism in k parts with seams on its corners: 90 − (n/k − 1)·180/n (derived); mid-face in two parts: 0. */
describe("draft of a sharp prism with seams on its corners", () => {
  for (const [sides, parts, expected] of [
    [4, 2, 45],
    [6, 2, 30],
    [6, 3, 60],
    [8, 2, 22.5],
    [8, 4, 67.5],
  ] as const) {
    it(`${sides} sides in ${parts} parts: ${expected}°`, () => {
      const seams = split({ parts, at: "corners" });
      for (const draft of drafts(build(mold(shrink(prism(sides), 0.12), { seams }), "idle")))
        expect(draft).toBeCloseTo(expected, 3);
    });
  }

  it("six sides in two parts with the seam mid-face: 0°, and it drags", () => {
    const built = build(mold(shrink(prism(6), 0.12), { seams: split({ parts: 2, at: 30 }) }), "idle");
    for (const draft of drafts(built)) expect(draft).toBeCloseTo(0, 3);
    expect(checkMold(built).map((finding) => finding.code)).toContain("draft-low");
  });

  it("best seams of a hexagon in two parts stand on its corners", () => {
    for (const draft of drafts(build(mold(shrink(prism(6), 0.12), { seams: split({ parts: 2 }) }), "idle")))
      expect(draft).toBeCloseTo(30, 3);
  });
});

describe("undercut", () => {
  it("a part that reaches around all four faces of a flared square is held", () => {
    // From 20° to 300° one part touches all four faces: no direction looks along all of them.
    const built = build(mold(shrink(square(), 0.12), { seams: split({ parts: 2, at: [20, 300] }) }), "idle");
    const found = checkMold(built).filter((finding) => finding.code === "undercut");
    expect(found.length).toBeGreaterThan(0);
    for (const finding of found) expect(finding.severity).toBe("error");
  });

  it("a waist lets go of four parts drawn sideways", () => {
    const outline = profile.circle({ diameter: 80 });
    const waist = loft([outline.at(0), outline.scale(0.8).at(50), outline.at(100)]);
    const built = build(mold(shrink(waist, 0.12), { seams: split({ parts: 4, at: 0 }) }), "idle");
    expect(built.model.undercuts).toEqual([]);
  });
});

describe("metamorphic: the answer follows the design", () => {
  const turned = (degrees: number, factor = 1) => {
    const foot = profile.rounded({ width: 60, depth: 44, corner: 9 }).scale(factor).turn(degrees);
    const lip = profile.rounded({ width: 78, depth: 56, corner: 14 }).scale(factor).turn(degrees);
    const body = loft([foot.at(0), lip.at(90 * factor)], { side: "straight" });
    return build(mold(shrink(body, 0.12), { seams: split({ parts: 4, at: "corners" }) }), "idle");
  };

  for (const degrees of [17, 90, 180, 270]) {
    it(`turned by ${degrees}°: same drafts, pulls turned`, () => {
      const plain = turned(0);
      const after = turned(degrees);
      drafts(after).forEach((draft, i) => expect(draft).toBeCloseTo(drafts(plain)[i], 4));
      const angle = (built: typeof plain, i: number) => {
        const [x, y] = built.model.parts[i].pull!;
        return (Math.atan2(y, x) * 180) / Math.PI;
      };
      for (let i = 0; i < 4; i++) {
        const gap = angle(after, i) - angle(plain, i) - degrees;
        expect(gap - 360 * Math.round(gap / 360)).toBeCloseTo(0, 3);
      }
    });
  }

  it("twice as large: same drafts, eight times the clay body", () => {
    const plain = turned(0);
    const large = turned(0, 2);
    drafts(large).forEach((draft, i) => expect(draft).toBeCloseTo(drafts(plain)[i], 4));
    expect(large.model.wet.size[0] / plain.model.wet.size[0]).toBeCloseTo(2, 4);
  });
});
