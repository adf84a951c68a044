import { cutter, key, loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import type { Mold, MoldOptions } from "../../../src/dsl/kit/mold.ts";
import type { Outline } from "../../../src/dsl/kit/outline.ts";
import { random } from "./inside.ts";

/**
 * A loft that is seen whole from its middle with any options of a mold that do not contradict each other, the same for
 * the same seed: of one piece, in rings, as a hump, pressed part by part, with loose pegs and ridges.
 */
export function randomOptions(seed: number): Mold {
  const next = random(seed);
  const between = (low: number, high: number) => low + next() * (high - low);
  const pick = <T>(...of: T[]): T => of[Math.floor(next() * of.length)];
  const size = between(50, 100);
  const outline = pick<(across: number) => Outline>(
    (across) => profile.circle({ diameter: across }),
    (across) => profile.ellipse({ width: across, depth: 0.8 * across }),
    (across) => profile.polygon({ sides: 6, acrossFlats: across, corner: 6 }),
    (across) => profile.rounded({ width: across, depth: 0.75 * across, corner: 12 }),
    (across) => profile.wave({ diameter: across, waves: 8, amplitude: 1.2 }),
    (across) => profile.superellipse({ width: across, depth: 0.9 * across, power: 3 }),
    (across) => profile.polar((angle) => (across / 2) * (1 + 0.05 * Math.cos((3 * angle * Math.PI) / 180))),
  );
  const kind = pick("split", "split", "whole", "hump", "hump-halves", "rings");
  const widens = kind === "whole" || kind.startsWith("hump");
  const count = pick(2, 3);
  const height = widens ? between(30, 70) : between(60, 130);
  const twist = kind === "split" || kind === "rings" ? pick(0, between(-20, 20)) : 0;
  const sections = Array.from({ length: count }, (_, k) => {
    const share = k / (count - 1);
    const factor = widens ? 1 + share * between(0.25, 0.6) : between(0.85, 1.2);
    return outline(size * factor)
      .turn(twist * share)
      .at(height * share);
  });
  const body: Body = loft(sections, { side: pick("smooth", "straight") });
  const slab = between(3, 8);
  const printer = pick<MoldOptions["printer"]>(undefined, { bed: [180, 180, 180], nozzle: 0.4, layer: 0.2 });
  const common: MoldOptions = {
    slab,
    wall: pick(2, 3, 4.5),
    marks: pick(true, false),
    ...(printer && { printer }),
  };
  const options = ((): MoldOptions => {
    switch (kind) {
      case "whole":
        return { seams: split.whole({ glue: pick(1, 2, 4) }), base: pick("closed", "open") };
      case "hump":
        return { side: "inside", seams: split.whole() };
      case "hump-halves":
        return { side: "inside", seams: split({ parts: 2, at: between(0, 180) }) };
      case "rings":
        return {
          seams: split({ parts: pick(2, 3), at: between(0, 360), levels: [height * between(0.35, 0.65)] }),
          keys: key({ shape: pick("dome", "cone") }),
          base: pick("open", "floor"),
        };
      default:
        return {
          seams: split({
            parts: pick(2, 3, 4, 5, 6, 8),
            at: pick<number | "best" | "corners">("best", between(0, 360)),
            follow: pick("form", "flat"),
          }),
          keys: key({ shape: pick("dome", "cone", "ridge"), loose: next() < 0.3, size: pick(6, 8, 10) }),
          cutters: [cutter.base(), cutter.rails()],
          base: pick<MoldOptions["base"]>("open", "floor", { kind: "open", join: "under", slab: 6 }),
          press: pick("closed", "parts"),
          stand: pick("foot", "rim"),
          flange: { width: pick(14, 18), thickness: pick(4, 5) },
          bands: { count: pick(1, 2, 3), width: 10, depth: 2 },
          pry: pick(true, false),
        };
    }
  })();
  return mold(shrink(body, between(0.05, 0.15)), { ...common, ...options });
}
