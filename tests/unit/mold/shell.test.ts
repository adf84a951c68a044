import { Vector3 } from "three";
import { beforeAll, describe, expect, it } from "vitest";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import { CHAMFER } from "../../../src/dsl/mold/layout.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { exampleMold, exampleMolds } from "./example.ts";
import { BARYCENTRIC, cavityOf } from "./inside.ts";
import { beakerMold, build, square, wavedMold } from "./samples.ts";

beforeAll(loadKernel);

/** Waves so deep that their valleys are narrower than the wall. */
const deepWaves = () => {
  const wave = profile.wave({ diameter: 80, waves: 9, amplitude: 6 });
  return mold(
    shrink(loft([wave.at(0), wave.scale(1.2).turn(20).at(60), wave.scale(0.8).turn(30).at(120)]), 0.12),
    {
      seams: split({ parts: 3, at: "corners" }),
    },
  );
};

/** Two cones foot to foot: a sharp level edge half-way up. */
const bicone = () => {
  const outline = profile.circle({ diameter: 60 });
  return mold(
    shrink(loft([outline.at(0), outline.scale(1.5).at(40), outline.at(80)], { side: "straight" }), 0.12),
    { seams: split({ parts: 4, at: 0 }) },
  );
};

const samples: [string, () => Mold][] = [
  ["octagon beaker", () => beakerMold()],
  ["beaker with a thick wall", () => beakerMold({ wall: 8 })],
  ["sharp square", () => mold(shrink(square(), 0.12))],
  ["waves turned 40°", () => wavedMold(40, "form")],
  ["deep waves", deepWaves],
  ["sharp level edge", bicone],
  ["fluted carafe", () => exampleMold("fluted-carafe")],
  ["sugar jar", () => exampleMolds("sugar-jar")[0].mold],
  ["lid of the sugar jar, in one piece", () => exampleMolds("sugar-jar")[1].mold],
  ["tasting dish, in one piece", () => exampleMold("tasting-dish")],
];

describe("the shell is the dilation of the cavity", () => {
  for (const [name, make] of samples) {
    it(`${name}: nowhere thinner than the wall less 0.05 mm`, () => {
      const built = build(make());
      const tree = cavityOf(built);
      const { wall } = built.model.build;
      let least = Infinity;
      for (const part of built.model.parts) {
        const { positions: p, triangles: t } = part.mesh;
        for (const run of part.runs) {
          if (run.face !== "outside") continue;
          for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
            for (const weights of BARYCENTRIC) {
              const point = new Vector3();
              weights.forEach((weight, k) => {
                const v = 3 * t[i + k];
                point.x += weight * p[v];
                point.y += weight * p[v + 1];
                point.z += weight * p[v + 2];
              });
              // The bed edge is cut on purpose.
              if (point.z < CHAMFER + 1e-6) continue;
              least = Math.min(least, tree.closestPointToPoint(point)!.distance);
            }
          }
        }
      }
      expect(least).toBeGreaterThan(wall - 0.05);
      expect(least).toBeLessThan(wall + 0.05);
    });
  }
});
