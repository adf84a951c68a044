import { Form } from "../form/form.ts";
import { formStarAngle } from "../form/star.ts";
import { insideVolume } from "../mold/capacity.ts";
import { makeGrid } from "../mold/grid.ts";
import { STAR_ANGLE, SURFACE } from "../tolerances.ts";
import { Body } from "./body.ts";
import { checkLevelBody, checkShrinkage } from "./bodies.ts";
import type { Clay } from "./clay.ts";
import { KitError } from "./error.ts";
import { checkKeys, checkNumber } from "./options.ts";
import { LARGEST, Outline, Section } from "./outline.ts";
import { recordCall, recordMade } from "./record.ts";

export const FIT_DEFAULTS = Object.freeze({ fill: "brim" } as const);

/**
 * A body scaled so that the fired pot holds a given capacity, inside its slab and above its base.
 *
 * @param body a loft or a turned body, fired size
 * @param options `capacity`: mL, when fired; `slab`: wet clay, mm, also of the base; `clay`: a
 *   `clay(…)` or its total shrinkage; `fill`: how far below the brim it is filled, fired mm, default
 *   to the brim
 */
export function fit(
  body: Body,
  options: { capacity: number; slab: number; clay: Clay | string | number; fill?: "brim" | number },
): Body {
  const call = recordCall("fit");
  const outside = checkLevelBody("fit", call, body);
  const site = { name: "fit", call, argument: 1 };
  const given = { ...FIT_DEFAULTS, ...checkKeys(site, options, ["capacity", "slab", "clay", "fill"]) };
  const capacity = checkNumber(site, "capacity", given.capacity, { min: 1, max: 1_000_000 });
  const slab = checkNumber(site, "slab", given.slab, { min: 1, max: 40, unit: "mm" });
  const { clay, total } = checkShrinkage("fit", call, 1, given.clay, ["clay"]);
  const fill =
    given.fill === "brim" ? 0 : checkNumber(site, "fill", given.fill, { min: 0, max: LARGEST, unit: "mm" });
  if (clay) recordMade(call, [clay.call]);
  // The fitted body shows as the faces of the call that shaped it.
  recordMade(body.call, [call]);
  if (formStarAngle(new Form(outside, 1)) > STAR_ANGLE) {
    const reason =
      "the side of this body is not seen whole from its middle, so that it is not measured here; read its capacity from the mold and scale its outlines by the cube root of what is missing.";
    throw new KitError("kit-conflict", { call: "fit", reason }, { call, argument: 0 });
  }
  const wet = { slab, fill: fill / (1 - total), scale: 1 / (1 - total) };
  const holds = (factor: number, tolerance: number) =>
    capacityOf(scaledBody(outside, factor), wet, tolerance);
  const factor = solve(
    capacity,
    holds,
    () => {
      const reason = `no size up to ${LARGEST} mm holds ${capacity} mL ${fill > 0 ? `${fill} mm below the brim ` : ""}with a slab of ${slab} mm.`;
      return new KitError("kit-conflict", { call: "fit", reason }, { call, argument: 1, path: ["capacity"] });
    },
    LARGEST / Math.max(...outside.sections.map((one) => one.z), 1),
  );
  return scaledBody(outside, factor);
}

/** mL of the fired pot. */
function capacityOf(
  body: Body,
  wet: { slab: number; fill: number; scale: number },
  tolerance: number,
): number {
  const form = new Form(body, wet.scale);
  const level = form.height - wet.fill;
  const grid = makeGrid(form, { tolerance, us: [], zs: [wet.slab, level], turn: 0.26 });
  return insideVolume(grid, wet.slab, wet.slab, level) / (1000 * wet.scale * wet.scale * wet.scale);
}

function scaledBody(body: Body, factor: number): Body {
  const sections = body.sections.map(({ outline, z, call, path }) => {
    const { curve, cx, cy, turned, origin } = outline;
    return new Section(
      new Outline(curve.scale(factor), outline.call, cx * factor, cy * factor, turned, origin),
      z * factor,
      call,
      path,
    );
  });
  return new Body(sections, body.side, body.open, body.call, body.shrinkings);
}

/** Capacities agree to this share: finer than any slab is rolled. */
const GOOD = 2e-4;

/**
 * The factor at which a pot holds `wanted`. Most looks are coarse; two fine ones tell by what share
 * the coarse ones are off, which hardly changes with size.
 */
function solve(
  wanted: number,
  holds: (factor: number, tolerance: number) => number,
  impossible: () => KitError,
  most: number,
): number {
  let share = 1;
  let factor = 1;
  for (let round = 0; round < 6; round++) {
    factor = solveCoarse(wanted / share, (one) => holds(one, SURFACE.typing), factor, most, impossible);
    const fine = holds(factor, SURFACE.export);
    if (Math.abs(fine / wanted - 1) < GOOD) return factor;
    share = fine / holds(factor, SURFACE.typing);
  }
  return factor;
}

function solveCoarse(
  wanted: number,
  holds: (factor: number) => number,
  start: number,
  most: number,
  impossible: () => KitError,
): number {
  let low = 0;
  let high = Math.min(start, most);
  while (holds(high) < wanted) {
    if (high >= most) throw impossible();
    low = high;
    high = Math.min(most, high * 1.5);
  }
  if (low === 0) {
    low = high / 1.5;
    while (holds(low) > wanted) {
      high = low;
      low /= 1.5;
      if (low < 1e-3) throw impossible();
    }
  }
  // Room grows like the cube of the size, less the slab: false position on its cube root, with a halving now and then.
  let atLow = Math.cbrt(holds(low)) - Math.cbrt(wanted);
  let atHigh = Math.cbrt(holds(high)) - Math.cbrt(wanted);
  for (let round = 0; round < 40; round++) {
    const share = round % 4 === 3 ? 0.5 : atLow / (atLow - atHigh);
    const middle = low + (high - low) * Math.min(0.98, Math.max(0.02, share));
    const gap = Math.cbrt(holds(middle)) - Math.cbrt(wanted);
    if (Math.abs(gap) < 1e-5 * Math.cbrt(wanted) || high - low < 1e-9) return middle;
    if (gap < 0) [low, atLow] = [middle, gap];
    else [high, atHigh] = [middle, gap];
  }
  return (low + high) / 2;
}
