import { key, loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import type { Outline } from "../../../src/dsl/kit/outline.ts";
import { random } from "./inside.ts";

/**
 * A loft and a way to cut it, the same for the same seed: made so that about half of the parts are
 * held. Waists, flares, lobes, twists up to 60° and leans; seams in good places and in bad ones.
 */
export function randomLoft(seed: number): Mold {
  const next = random(10_007 * seed);
  const between = (low: number, high: number) => low + next() * (high - low);
  const pick = <T>(...of: T[]): T => of[Math.floor(next() * of.length)];
  const size = between(45, 85);
  const lobes = pick(2, 3, 4, 5, 7, 10);
  const kind = pick("circle", "ellipse", "polygon", "rounded", "wave", "wave");
  const flat = between(0.65, 1);
  const deep = between(0.3, Math.max(0.4, (0.22 * size) / lobes));
  const corner = pick(0, 2, 0.12);
  const outline = (factor: number): Outline => {
    const across = size * factor;
    const fillet = corner < 1 ? corner * across : corner;
    if (kind === "circle") return profile.circle({ diameter: across });
    if (kind === "ellipse") return profile.ellipse({ width: across, depth: across * flat });
    if (kind === "polygon")
      return profile.polygon({ sides: lobes + 2, acrossFlats: across, corner: fillet / 2 });
    if (kind === "rounded") return profile.rounded({ width: across, depth: across * flat, corner: fillet });
    return profile.wave({ diameter: across, waves: lobes, amplitude: deep * factor });
  };
  const count = pick(2, 3, 3, 4);
  const height = between(45, 110);
  const twist = pick(0, between(-10, 10), between(-60, 60));
  const lean = pick(0, 0, between(-10, 10));
  const sections = Array.from({ length: count }, (_, k) => {
    const share = k / (count - 1);
    return outline(between(0.85, 1.2))
      .turn(twist * share)
      .shift(lean * share, -0.6 * lean * share)
      .at(height * share);
  });
  const parts = pick(2, 2, 3, 4);
  const first = between(0, 360);
  const uneven = Array.from(
    { length: parts },
    (_, i) => (first + ((i + between(-0.3, 0.3)) * 360) / parts) % 360,
  );
  return mold(shrink(loft(sections, { side: pick("smooth", "straight") }), between(0.05, 0.15)), {
    slab: between(4, 6),
    wall: pick(2, 3),
    seams: split({
      parts,
      at: pick<number | number[] | "best">("best", first, first, uneven),
      follow: pick("form", "flat"),
      pull: pick("best", "best", "best", "level"),
    }),
    keys: key({ shape: pick("dome", "cone") }),
    base: pick("open", "open", "floor"),
    stand: pick("foot", "foot", "rim"),
  });
}
