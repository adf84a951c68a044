import { cutter, key, loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import type { Quality } from "../../../shared/engine.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import type { Mold, MoldOptions } from "../../../src/dsl/kit/mold.ts";
import { buildMold, type BuiltMold } from "../../../src/dsl/mold/build.ts";

/** Bodies and molds that several tests look at, fired size. */
export const beaker = (): Body =>
  loft(
    [
      profile.polygon({ sides: 8, acrossFlats: 62, corner: 4 }).at(0),
      profile.polygon({ sides: 8, acrossFlats: 80, corner: 8 }).at(104),
    ],
    { side: "straight" },
  );

export const beakerMold = (more: MoldOptions = {}): Mold =>
  mold(shrink(beaker(), 0.125), {
    slab: 6,
    seams: split({ parts: 4, at: "corners" }),
    keys: key({ shape: "cone" }),
    cutters: [cutter.base()],
    ...more,
  });

/** A waved body with belly and neck, turning `twist` degrees from foot to lip. */
export const wavedBody = (twist: number): Body => {
  const wave = profile.wave({ diameter: 80, waves: 12, amplitude: 1.6 });
  return loft([
    wave.at(0),
    wave
      .scale(1.2)
      .turn(twist / 2)
      .at(60),
    wave.scale(0.8).turn(twist).at(120),
  ]);
};

export const wavedMold = (twist: number, follow: "form" | "flat"): Mold =>
  mold(shrink(wavedBody(twist), 0.12), { seams: split({ parts: 3, at: 3, follow }) });

/** A waved bowl that leaves through its top. */
export const wavedDish = (): Body => {
  const wave = profile.wave({ diameter: 70, waves: 8, amplitude: 2 });
  return loft([wave.at(0), wave.scale(1.25).turn(6).at(15), wave.scale(1.4).turn(10).at(35)]);
};

export const square = (): Body =>
  loft(
    [
      profile.polygon({ sides: 4, acrossFlats: 60 }).at(0),
      profile.polygon({ sides: 4, acrossFlats: 76 }).at(80),
    ],
    { side: "straight" },
  );

export const prism = (sides: number): Body => {
  const outline = profile.polygon({ sides, acrossFlats: 80 });
  return loft([outline.at(0), outline.at(90)], { side: "straight" });
};

export const cylinder = (): Body => {
  const outline = profile.circle({ diameter: 80 });
  return loft([outline.at(0), outline.at(90)]);
};

export const build = (one: Mold, quality: Quality = "export"): BuiltMold => buildMold(one, "sample", quality);
