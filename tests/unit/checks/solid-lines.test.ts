import modeling from "@jscad/modeling";
import { beforeAll, describe, expect, it } from "vitest";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { widestFlat } from "../../../src/dsl/checks/wall.ts";
import { loft, mold, profile, revolve, shrink, solid, split, sweep } from "../../../src/dsl/index.ts";
import type { Quality } from "../../../shared/engine.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import type { MoldOptions } from "../../../src/dsl/kit/mold.ts";
import type { Outline } from "../../../src/dsl/kit/outline.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { bean, boat, bowedVase, kidney } from "../mold/free-bodies.ts";
import { build } from "../mold/samples.ts";

/** Sharp corners and wide flats of bodies whose surface is known by its facets alone. */

beforeAll(loadKernel);

const { primitives, extrusions, geometries } = modeling;

const made = (body: Body, more: MoldOptions = {}, quality: Quality = "typing") =>
  build(
    mold(shrink(body, 0.12), { slab: 8, seams: split({ parts: 2, at: 0, follow: "flat" }), ...more }),
    quality,
  );
const sharp = (...given: Parameters<typeof made>) =>
  checkMold(made(...given)).find(({ code }) => code === "corner-sharp");

/** The same upright body twice: known by level sections, and by facets. */
const upright = (outline: Outline, height = 60): [Body, Body] => [
  loft([outline.at(0), outline.at(height)]),
  sweep(
    outline.turn(-90),
    [
      [0, 0, 0],
      [0, 0, height],
    ],
    { ends: 0 },
  ),
];

describe("corner-sharp", () => {
  it.each([
    ["a fillet", profile.rounded({ width: 90, depth: 70, corner: 2 }), 2.3, 4],
    ["a larger fillet", profile.rounded({ width: 90, depth: 70, corner: 3 }), 3.4, 4],
    ["a sharp corner of 90°", profile.rounded({ width: 90, depth: 70, corner: 0 }), 0, 4],
  ])("of %s is told like that of a loft, coarse and fine", (_, outline, radius, limit) => {
    for (const body of upright(outline))
      for (const quality of ["typing", "idle"] as const) {
        const found = sharp(body, {}, quality)!;
        expect(found.value).toBeCloseTo(radius, 1);
        expect(found.limit).toBe(limit);
        expect(found.args.turn).toBe(90);
      }
  });

  it("spares what is round enough, and what lies on a seam", () => {
    const [, round] = upright(profile.rounded({ width: 90, depth: 70, corner: 6 }));
    expect(sharp(round)).toBeUndefined();
    const [, square] = upright(profile.polygon({ sides: 4, acrossFlats: 80 }));
    expect(sharp(square, { seams: split({ parts: 4, at: 0 }) })).toBeUndefined();
    expect(sharp(square, { seams: split({ parts: 4, at: 45 }) })).toBeDefined();
  });

  it("is not found on a dish, a vase and a round keel that have no corner", () => {
    for (const body of [kidney(), bowedVase(), boat()]) expect(sharp(body, { slab: 6 })).toBeUndefined();
  });

  it("of a level edge is told as one of a turned body is: two cones foot to foot", () => {
    const line = geometries.path2.fromPoints({ closed: false }, [
      [0, 0],
      [30, 0],
      [45, 40],
      [30, 80],
      [0, 80],
    ]);
    const turned = extrusions.extrudeRotate(
      { segments: 96 },
      geometries.geom2.fromPoints(geometries.path2.toPoints(line)),
    );
    const found = sharp(solid(turned), { slab: 6, seams: split({ parts: 3 }) })!;
    const known = sharp(
      revolve(
        [
          [30, 0],
          [45, 40],
          [30, 80],
        ],
        { side: "straight" },
      ),
      { slab: 6, seams: split({ parts: 3 }) },
    )!;
    expect(found.variant).toBe("solid");
    expect(found.value).toBe(0);
    expect(Math.abs(Number(found.args.turn) - Number(known.args.turn))).toBeLessThanOrEqual(1);
    expect(found.at![2]).toBeCloseTo(known.at![2], 0);
  });

  it("of a block of @jscad/modeling is found on its upright edges", () => {
    const found = sharp(solid(primitives.cuboid({ size: [90, 70, 60] })), {
      seams: split({ parts: 2, at: 0 }),
    })!;
    expect([found.value, found.args.turn]).toEqual([0, 90]);
    expect(Math.abs(found.at![0]) / (45 / 0.88)).toBeCloseTo(1, 3);
  });
});

describe("the widest flat", () => {
  it("is as wide as on the same body by its level sections, but for a step of the surface", () => {
    for (const outline of [
      profile.rounded({ width: 90, depth: 70, corner: 8 }),
      profile.polygon({ sides: 8, acrossFlats: 80, corner: 4 }),
      profile.ellipse({ width: 90, depth: 50 }),
    ]) {
      const [a, b] = upright(outline).map((body) =>
        widestFlat(made(body, { seams: split({ parts: 2, at: 20 }) }, "idle")),
      );
      expect(Math.abs(b - a)).toBeLessThan(0.2 * a);
    }
  });

  it("of a kidney lies along its straighter side", () => {
    const [flat] = [widestFlat(made(loft([bean().at(0), bean().at(50)]), {}, "idle"))];
    expect(flat).toBeGreaterThan(30);
    expect(flat).toBeLessThan(60);
  });
});
