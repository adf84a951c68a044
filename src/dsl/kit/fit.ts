import type { Quality } from "../../../shared/engine.ts";
import { Form } from "../form/form.ts";
import { insideVolume } from "../mold/capacity.ts";
import { insideVolumeOf, sizeOf } from "../mold/free-measure.ts";
import { makeGrid } from "../mold/grid.ts";
import { isSeenWhole } from "../mold/seen.ts";
import { SURFACE } from "../tolerances.ts";
import { Body } from "./body.ts";
import { checkBody, checkShrinkage } from "./bodies.ts";
import type { Clay } from "./clay.ts";
import { KitError } from "./error.ts";
import { checkKeys, checkNumber } from "./options.ts";
import { LARGEST, Outline, Section } from "./outline.ts";
import { recordCall, recordMade } from "./record.ts";
import { Remembered } from "./remembered.ts";
import type { SolidShape } from "./solid-shape.ts";

const factors = new Remembered<number>();

export const FIT_DEFAULTS = Object.freeze({ fill: "brim" } as const);

/**
 * A body scaled so that the fired pot holds a given capacity, inside its slab and above its base.
 *
 * @param body fired size
 * @param options `capacity`: mL, when fired; `slab`: wet clay, mm, also of the base; `clay`: a
 *   `clay(…)` or its total shrinkage; `fill`: how far below the brim it is filled, fired mm, default
 *   to the brim
 */
export function fit(
  body: Body,
  options: { capacity: number; slab: number; clay: Clay | string | number; fill?: "brim" | number },
): Body {
  const call = recordCall("fit");
  const outside = checkBody("fit", call, body);
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
  const wet = { slab, fill: fill / (1 - total), scale: 1 / (1 - total) };
  const isSeen = isSeenWhole(outside);
  const holds = (factor: number, quality: Quality) =>
    (isSeen ? capacityOfLevels : capacityOfSolid)(scaledBody(outside, factor), wet, quality);
  const largest = isSeen ? LARGEST : LARGEST_SOLID;
  const impossible = () => {
    const below = fill > 0 ? `${fill} mm below the brim ` : "";
    const reason = `no size up to ${largest} mm holds ${capacity} mL ${below}with a slab of ${slab} mm.`;
    return new KitError("kit-conflict", { call: "fit", reason }, { call, argument: 1, path: ["capacity"] });
  };
  const find = () => {
    const { extent, most } = isSeen ? sizeOfLevels(outside) : sizeOfSolid(outside, largest);
    if (most < capacity) throw impossible();
    return solve(capacity, holds, impossible, largest / extent);
  };
  return scaledBody(outside, factors.of([outside, capacity, wet], find));
}

/** Wet sizes of what is filled, mm, and wet size / fired size. */
interface Wet {
  slab: number;
  fill: number;
  scale: number;
}

/** A body that is not made of level sections is not measured when it is larger than this, mm. */
const LARGEST_SOLID = 1000;

/** Its height, mm; level sections are measured fast at any size. */
const sizeOfLevels = ({ sections }: Body) => ({
  extent: Math.max(...sections.map(({ z }) => z), 1),
  most: Infinity,
});

/** Its largest extent, mm, and the mL that it does not hold at any size up to `largest`, since it does not when without a wall. */
function sizeOfSolid(body: Body, largest: number): { extent: number; most: number } {
  const { extent, volume } = sizeOf(body, "fit");
  return { extent, most: (volume * (largest / extent) ** 3) / MM3_PER_ML };
}

const MM3_PER_ML = 1000;

/** mL of the fired pot, of a body whose level sections are seen whole from their middle. */
function capacityOfLevels(body: Body, wet: Wet, quality: Quality): number {
  const form = new Form(body, wet.scale);
  const level = form.height - wet.fill;
  const grid = makeGrid(form, { tolerance: SURFACE[quality], us: [], zs: [wet.slab, level], turn: 0.26 });
  return insideVolume(grid, wet.slab, wet.slab, level) / (MM3_PER_ML * wet.scale ** 3);
}

/** mL of the fired pot, of any body. */
function capacityOfSolid(body: Body, { slab, fill, scale }: Wet, quality: Quality): number {
  return insideVolumeOf(body, scale, slab, fill, quality, "fit") / (MM3_PER_ML * scale ** 3);
}

function scaledBody(body: Body, factor: number): Body {
  const sections = body.sections.map(
    ({ outline, z, call, path }) => new Section(scaledOutline(outline, factor), z * factor, call, path),
  );
  const solid = body.solid && scaledSolid(body.solid, factor);
  return new Body(sections, body.side, body.open, body.call, body.shrinkings, solid);
}

function scaledSolid(shape: SolidShape, factor: number): SolidShape {
  switch (shape.kind) {
    case "sweep": {
      const path = shape.path.map(([x, y, z]) => [x * factor, y * factor, z * factor] as const);
      return { ...shape, outline: scaledOutline(shape.outline, factor), path };
    }
    case "mesh": {
      const { positions, triangles } = shape.mesh;
      return { ...shape, mesh: { positions: positions.map((value) => value * factor), triangles } };
    }
    case "trim":
      return { ...shape, body: scaledBody(shape.body, factor), by: scaledBody(shape.by, factor) };
  }
}

const scaledOutline = ({ curve, cx, cy, call, turned, origin }: Outline, factor: number) =>
  new Outline(curve.scale(factor), call, cx * factor, cy * factor, turned, origin);

/** Capacities agree to this share: finer than any slab is rolled. */
const GOOD = 2e-4;
/** Coarse looks end when the cube roots of capacities agree to this share. */
const NEAR = 1e-3;
const COARSE_LOOKS = 40;
const FINE_LOOKS = 6;

/** A size that was looked at, and the cube root of what it holds. */
interface Look {
  factor: number;
  root: number;
}

/**
 * The factor at which a pot holds `wanted`. Room grows like the cube of the size, less the slab, so that its
 * cube root is nearly a straight line: coarse looks come near, and a few fine ones along their line get there.
 */
function solve(
  wanted: number,
  holds: (factor: number, quality: Quality) => number,
  impossible: () => KitError,
  most: number,
): number {
  const goal = Math.cbrt(wanted);
  const coarse = (factor: number): Look => ({ factor, root: Math.cbrt(holds(factor, "typing")) });
  let { factor, slope } = comeNear(goal, coarse, impossible, most);
  let before: Look | null = null;
  for (let look = 0; look < FINE_LOOKS; look++) {
    const held = holds(factor, "export");
    if (Math.abs(held / wanted - 1) < GOOD) break;
    const root = Math.cbrt(held);
    if (before && before.factor !== factor) slope = (root - before.root) / (factor - before.factor);
    before = { factor, root };
    factor += (goal - root) / slope;
  }
  return factor;
}

/** A secant through coarse looks, kept between a size that holds too little and one that holds too much. */
function comeNear(
  goal: number,
  look: (factor: number) => Look,
  impossible: () => KitError,
  most: number,
): { factor: number; slope: number } {
  let low = 0;
  let high = Infinity;
  let before: Look | null = null;
  let factor = Math.min(1, most);
  let slope = NaN;
  for (let round = 0; round < COARSE_LOOKS; round++) {
    const now = look(factor);
    const gap = goal - now.root;
    const secant = before ? (now.root - before.root) / (now.factor - before.factor) : NaN;
    slope = secant > 0 ? secant : now.root / factor;
    if (Math.abs(gap) < NEAR * goal) break;
    if (gap < 0) high = factor;
    else if (factor >= most) throw impossible();
    else low = factor;
    if (high < LEAST_FACTOR) throw impossible();
    before = now.root > 0 ? now : null;
    const next = now.root > 0 ? factor + gap / slope : factor * GROWTH;
    if (next > low && next < high) factor = Math.min(next, most);
    else factor = high < Infinity ? (low + high) / 2 : Math.min(most, low * GROWTH);
  }
  return { factor, slope };
}

/** A pot so much smaller than it was drawn is none. */
const LEAST_FACTOR = 1e-3;
/** The next size to look at where a pot holds nothing yet. */
const GROWTH = 1.5;
