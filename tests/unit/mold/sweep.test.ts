import { beforeAll, describe, expect, it } from "vitest";
import { loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { loadKernel, withScope } from "../../../src/dsl/solid/kernel.ts";
import { exampleMold } from "./example.ts";
import { beakerMold, build, cylinder, wavedBody, wavedMold } from "./samples.ts";

beforeAll(loadKernel);

/** How far a part is drawn, mm. */
const WAY = [1, 5, 40];
/** The grain of the numbers: what surfaces that slide along each other seem to share, mm³. */
const TOUCH = 0.5;
/** Clay that is undercut by less gives way on its own, mm. */
const SHALLOW = 0.05;

/** What each part cuts out of the clay on its way, mm³, beside the undercut that was reported for it, mm. */
function sweeps(made: Mold): { part: string; undercut: number; torn: number }[] {
  const { model, clay } = build(made, "idle");
  return model.parts.flatMap((part) => {
    if (part.role !== "wall" || part.pull === null) return [];
    const [x, y, z] = part.pull;
    const torn = withScope((scope) => {
      const [solid, pot] = [scope.solid(part), scope.solid(clay)];
      return Math.max(
        ...WAY.map((mm) => scope.commonVolume(scope.move(solid, [x * mm, y * mm, z * mm]), pot)),
      );
    });
    return { part: part.name, undercut: part.undercutMm, torn };
  });
}

const free: [string, () => Mold][] = [
  ["octagon beaker", () => beakerMold()],
  ["fluted carafe", () => exampleMold("fluted-carafe")],
  ["waves turned 10°, seams with the form", () => wavedMold(10, "form")],
  ["waves turned 10°, flat seams", () => wavedMold(10, "flat")],
];

/** Parts that reach around clay that looks away from them. */
const held: [string, () => Mold][] = [
  ["waves turned 40° in two parts", () => mold(shrink(wavedBody(40), 0.12), { seams: split({ at: 3 }) })],
  [
    "a cylinder of which one part holds two thirds, drawn level",
    () => mold(shrink(cylinder(), 0.12), { seams: split({ at: [0, 120], pull: "level" }) }),
  ],
  [
    "a lofted square of which one part reaches around three corners and a half",
    () => {
      const square = profile.polygon({ sides: 4, acrossFlats: 60 });
      return mold(shrink(loft([square.at(0), square.scale(1.2).at(80)]), 0.12), {
        seams: split({ at: [20, 300] }),
      });
    },
  ],
];

const both: [string, () => Mold][] = [
  ["waves turned 40°, seams with the form", () => wavedMold(40, "form")],
  ["waves turned 40°, flat seams", () => wavedMold(40, "flat")],
];

describe("each part drawn 1, 5 and 40 mm along its pull", () => {
  const told = (made: Mold) => {
    const parts = sweeps(made);
    expect(parts.length).toBeGreaterThan(0);
    for (const { part, undercut, torn } of parts) {
      if (undercut === 0) expect(torn, part).toBeLessThan(TOUCH);
      else if (undercut > SHALLOW) expect(torn, part).toBeGreaterThan(TOUCH);
    }
    return parts;
  };
  for (const [name, make] of free)
    it(`${name}: no undercut is reported and no clay is cut`, () => {
      for (const { part, undercut } of told(make())) expect(undercut, part).toBeLessThanOrEqual(SHALLOW);
    });
  for (const [name, make] of both)
    it(`${name}: clay is cut where an undercut is reported`, () => void told(make()));
  for (const [name, make] of held)
    it(`${name}: an undercut is reported and clay is cut`, () => {
      expect(told(make()).some(({ undercut }) => undercut > SHALLOW)).toBe(true);
    });
});
