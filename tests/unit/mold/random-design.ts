import { cutter, key, loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import type { Outline } from "../../../src/dsl/kit/outline.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import { random } from "./inside.ts";

/** A design that the kit allows, the same for the same seed: any outlines, turns, leans, parts and options. */
export function randomDesign(seed: number): Mold {
  const next = random(seed);
  const between = (low: number, high: number) => low + next() * (high - low);
  const pick = <T>(...of: T[]): T => of[Math.floor(next() * of.length)];
  const size = between(45, 95);
  const sides = pick(3, 4, 5, 6, 8, 12);
  const waves = pick(3, 5, 8, 12);
  const kind = pick("circle", "ellipse", "polygon", "rounded", "wave", "mixed");
  const outline = (factor: number): Outline => {
    const across = size * factor;
    switch (kind === "mixed" ? pick("circle", "ellipse", "polygon", "rounded") : kind) {
      case "circle":
        return profile.circle({ diameter: across });
      case "ellipse":
        return profile.ellipse({ width: across, depth: across * between(0.7, 1) });
      case "polygon":
        return profile.polygon({ sides, acrossFlats: across, corner: pick(0, 2, 0.15 * across) });
      case "rounded":
        return profile.rounded({
          width: across,
          depth: across * between(0.7, 1),
          corner: pick(0, 5, 0.2 * across),
        });
      default:
        return profile.wave({ diameter: across, waves, amplitude: between(0.2, 0.25 * (across / waves)) });
    }
  };
  const count = pick(2, 2, 3, 4);
  const height = between(50, 140);
  const twist = pick(0, 0, between(-30, 30));
  const lean = pick(0, 0, between(-12, 12));
  const sections = Array.from({ length: count }, (_, k) => {
    const share = k / (count - 1);
    return outline(between(0.85, 1.2))
      .turn(twist * share)
      .shift(lean * share, -0.5 * lean * share)
      .at(height * share);
  });
  const body = loft(sections, { side: pick("smooth", "straight"), open: "top" });
  return mold(shrink(body, between(0.05, 0.15)), {
    slab: between(4, 8),
    wall: pick(2, 3, 5),
    seams: split({
      parts: pick(2, 3, 4),
      at: pick<number | "best">("best", between(0, 360)),
      follow: pick("form", "flat"),
    }),
    keys: key({ shape: pick("dome", "cone") }),
    cutters: [cutter.base()],
    base: pick("open", "floor"),
  });
}
