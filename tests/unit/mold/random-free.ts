import modeling from "@jscad/modeling";
import {
  cutter,
  key,
  loft,
  mold,
  profile,
  shrink,
  solid,
  split,
  sweep,
  trim,
} from "../../../src/dsl/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import type { Mold, MoldOptions } from "../../../src/dsl/kit/mold.ts";
import type { Outline } from "../../../src/dsl/kit/outline.ts";
import { random } from "./inside.ts";

const { booleans, hulls, primitives } = modeling;

/**
 * A design that is not seen whole from its middle, or not made of level sections at all, the same for the
 * same seed: kidneys, sweeps, solids, what is trimmed, with any options that do not contradict each other.
 */
export function randomFree(seed: number): Mold {
  const next = random(seed);
  const between = (low: number, high: number) => low + next() * (high - low);
  const pick = <T>(...of: T[]): T => of[Math.floor(next() * of.length)];

  const bean = (): Outline => {
    const count = pick(7, 9, 12);
    const points = Array.from({ length: count }, (_, i): [number, number] => {
      const angle = (2 * Math.PI * i) / count;
      // A banana: a ring bent about a point beside it.
      const along = Math.cos(angle) * 50;
      const across = Math.sin(angle) * between(16, 24);
      const bend = along / between(55, 70);
      return [(55 + across) * Math.sin(bend), (55 + across) * Math.cos(bend) - 55];
    });
    return profile.spline(points);
  };
  const kidney = (): Body => {
    const outline = bean();
    const sections = Array.from({ length: pick(2, 3) }, (_, k) =>
      outline
        .scale(k === 0 ? 1 : between(0.9, 1.15))
        .turn(k * pick(0, 0, 6))
        .at(k * between(25, 45)),
    );
    return loft(sections, { side: pick("smooth", "straight") });
  };
  const swept = (): Body => {
    const outline = pick(
      profile.ellipse({ width: between(40, 60), depth: between(36, 50) }),
      profile.rounded({ width: 50, depth: 40, corner: 8 }),
      profile.polygon({ sides: 6, acrossFlats: 48, corner: 4 }),
    );
    const lean = between(-12, 12);
    return sweep(
      outline,
      [
        [0, 0, 0],
        [0, 0, between(25, 35)],
        [lean, pick(0, 5), 60],
        [lean, 0, 90],
      ],
      { taper: between(0.7, 1.2), ends: pick(0, 4) },
    );
  };
  const brought = (): Body => {
    const ball = (x: number) =>
      primitives.sphere({ radius: between(18, 30), segments: 40, center: [x, 0, 30] });
    const shape = pick(
      () => hulls.hull(ball(-20), ball(22)),
      () =>
        primitives.cylinderElliptic({
          height: 60,
          startRadius: [30, 24],
          endRadius: [36, 28],
          segments: 48,
          center: [0, 0, 30],
        }),
      () =>
        primitives.roundedCuboid({ size: [80, 60, 60], roundRadius: 12, segments: 24, center: [0, 0, 30] }),
    )();
    const above = primitives.cuboid({ size: [300, 300, 100], center: [0, 0, 50 + between(34, 44)] });
    return solid(booleans.subtract(shape, above));
  };
  const trimmed = (): Body => {
    const cup = loft([profile.circle({ diameter: 70 }).at(0), profile.circle({ diameter: 80 }).at(100)]);
    return trim(
      sweep(profile.ellipse({ width: between(12, 18), depth: between(8, 12) }), [
        [20, 0, 20],
        [70, 0, between(30, 45)],
        [70, 0, between(55, 70)],
        [20, 0, 80],
      ]),
      cup,
    );
  };
  const kind = pick("kidney", "kidney", "swept", "brought", "trimmed");
  const body = { kidney, swept, brought, trimmed }[kind]();
  const whole = kind !== "trimmed" && kind !== "swept" && next() < 0.3;
  const solidClay = kind === "trimmed";
  const seams = whole
    ? split.whole({ glue: pick(1, 2, 4) })
    : solidClay && next() < 0.5
      ? split.halves({ plane: "xz" })
      : split({
          parts: pick(2, 3, 4),
          at: pick<number | "best" | "corners">("best", "corners", between(0, 360), between(0, 360)),
          follow: pick("form", "flat"),
        });
  const options: MoldOptions = {
    slab: solidClay ? "solid" : between(3, 8),
    wall: pick(2, 3, 5),
    seams,
    ...(whole ? { base: pick("closed", "open") } : {}),
    ...(seams.kind === "seams"
      ? {
          keys: key({ shape: pick("dome", "cone", "ridge"), loose: next() < 0.2 }),
          ...(kind === "kidney" ? { cutters: [cutter.base()], base: pick("open", "floor") } : {}),
          ...(solidClay ? {} : { press: pick("closed", "parts") }),
        }
      : {}),
    vents: pick<MoldOptions["vents"]>(false, { size: 1.5, spacing: 40 }),
  };
  return mold(shrink(body, between(0.05, 0.15)), options);
}
