import { beforeAll, describe, expect, it } from "vitest";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { volumeOf } from "../../../src/dsl/solid/measure.ts";
import { insideOf } from "./inside.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

/** Fired r 40 → 50 mm, 30 mm high; not shrunk, so that formulas hold as they stand. */
const frustum = () => {
  const foot = profile.circle({ diameter: 80 });
  const lip = profile.circle({ diameter: 100 });
  return shrink(loft([foot.at(0), lip.at(30)], { side: "straight" }), 0);
};

describe("a mold of one piece", () => {
  it("holds a frustum, V = πH/3(r1² + r1r2 + r2²), and leaves with the cone's own draft (standard geometry)", () => {
    const { model } = build(mold(frustum(), { seams: split.whole() }));
    const volume = ((Math.PI * 30) / 3) * (40 * 40 + 40 * 50 + 50 * 50);
    expect(volumeOf(model.vessel.mesh) / volume).toBeCloseTo(1, 3);
    const [wall] = model.parts;
    expect(wall.pull![2]).toBeCloseTo(-1, 9);
    expect(wall.draftDeg).toBeCloseTo((Math.atan(10 / 30) * 180) / Math.PI, 3);
    expect(model.moves).toHaveLength(1);
    expect(model.build.limits.draft).toBe(4);
  });

  it("has plastic under the pot, but for its vents, which go right through", () => {
    const vents = { size: 2, spacing: 25 };
    const { model } = build(mold(frustum(), { seams: split.whole(), vents }));
    const [wall] = model.parts;
    expect(insideOf(wall.mesh)(12, 0, -1)).toBe(true);
    expect(insideOf(wall.mesh)(0, 0, -1)).toBe(false);
    expect(insideOf(wall.mesh)(25, 0, -1)).toBe(false);
    const without = build(mold(frustum(), { seams: split.whole(), vents: false })).model.parts[0];
    expect(insideOf(without.mesh)(0, 0, -1)).toBe(true);
    // The middle and six about it; a hole of 24 sides.
    const hole = 12 * Math.sin(Math.PI / 12) * (-1 * minZ(without.mesh.positions));
    expect(volumeOf(without.mesh) - volumeOf(wall.mesh)).toBeCloseTo(7 * hole, 1);
  });

  it("stands on ribs as wide as its rim", () => {
    const { model } = build(mold(frustum(), { seams: split.whole() }));
    const { positions: p } = model.parts[0].mesh;
    const foot = minZ(p);
    let reach = 0;
    for (let i = 0; i < p.length; i += 3)
      if (p[i + 2] === foot) reach = Math.max(reach, Math.hypot(p[i], p[i + 1]));
    expect(reach).toBeGreaterThan(50 + model.build.wall + 8 - 1.5);
  });

  it("glued from four: the pieces have the volume of the whole, a quarter each", () => {
    const one = build(mold(frustum(), { seams: split.whole(), marks: false })).model.parts[0];
    const four = build(mold(frustum(), { seams: split.whole({ glue: 4 }), marks: false })).model.parts;
    expect(four.map((part) => part.name)).toEqual(["wall-a", "wall-b", "wall-c", "wall-d"]);
    const sum = four.reduce((total, part) => total + volumeOf(part.mesh), 0);
    expect(sum / volumeOf(one.mesh)).toBeCloseTo(1, 6);
    for (const part of four) expect(volumeOf(part.mesh)).toBeCloseTo(sum / 4, 0);
  });

  it("drags on a straight wall, and is held by a waist", () => {
    const outline = profile.circle({ diameter: 80 });
    const straight = build(mold(shrink(loft([outline.at(0), outline.at(30)]), 0), { seams: split.whole() }));
    expect(straight.model.parts[0].draftDeg).toBeCloseTo(0, 6);
    const waist = build(
      mold(shrink(loft([outline.at(0), outline.scale(0.9).at(30)], { side: "straight" }), 0), {
        seams: split.whole(),
      }),
    );
    // Straight up the clay would have to give R − r = 40 − 36 (derived); no other way is better.
    expect(waist.model.parts[0].undercutMm).toBeGreaterThan(3.9);
  });
});

function minZ(p: Float64Array): number {
  let least = Infinity;
  for (let i = 2; i < p.length; i += 3) least = Math.min(least, p[i]);
  return least;
}

describe("what holds a mold of one piece", () => {
  const cone = (foot: number, rim: number) => {
    const round = (diameter: number) => profile.circle({ diameter });
    return build(
      mold(shrink(loft([round(foot).at(0), round(rim).at(8)]), 0), { seams: split.whole(), slab: 3 }),
      "idle",
    );
  };

  it("a cone that narrows upwards by 1 mm a side: it must give that 1 mm, drawn off straight", () => {
    const [found] = checkMold(cone(60, 58)).filter(({ code }) => code === "undercut");
    expect(found.variant).toBe("whole");
    expect(found.value).toBeCloseTo(1, 2);
    // A frustum's side, π(r1 + r2)·√((r1 − r2)² + h²) (standard geometry).
    const [{ areaMm2 }] = cone(60, 58).model.undercuts;
    expect(areaMm2 / (Math.PI * 59 * Math.hypot(1, 8))).toBeCloseTo(1, 2);
  });

  it("one that widens too little drags, and is told to flare", () => {
    const [found] = checkMold(cone(60, 60.5)).filter(({ code }) => code === "draft-low");
    expect(found.variant).toBe("whole");
  });
});
