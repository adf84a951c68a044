import type { CallId } from "../../../shared/place.ts";
import { circle } from "../outline/circle.ts";
import { Body } from "./body.ts";
import { KitError } from "./error.ts";
import { checkChoice, checkKeys, checkNumber, show } from "./options.ts";
import { LARGEST, Outline, Section } from "./outline.ts";
import { recordCall } from "./record.ts";

export const REVOLVE_DEFAULTS = Object.freeze({ side: "smooth", open: "top" } as const);

/**
 * A turned body: its outside as points `[radius, z]` about the z axis, from the board upwards.
 *
 * @param points two or more, fired mm, z rising, the lowest at 0; a point on the axis at the very
 *   foot or the very top, which only closes the drawing, is passed over
 * @param options `side`: "smooth" (a monotone curve through the points, no bulge that nobody wrote)
 *   or "straight"; `open`: where the mold ends in a flat trimming face, "top", "bottom" or "both"
 */
export function revolve(
  points: readonly (readonly [number, number])[],
  options?: { side?: "smooth" | "straight"; open?: "top" | "bottom" | "both" },
): Body {
  const call = recordCall("revolve");
  const given = {
    ...REVOLVE_DEFAULTS,
    ...checkKeys({ name: "revolve", call, argument: 1 }, options, ["side", "open"]),
  };
  const site = { name: "revolve", call, argument: 1 };
  const side = checkChoice(site, "side", given.side, ["smooth", "straight"]);
  const open = checkChoice(site, "open", given.open, ["top", "bottom", "both"]);
  const { outside, first } = checkPoints(call, points);
  const sections = outside.map(
    ([radius, z], i) => new Section(new Outline(circle(2 * radius), call), z, call, [String(first + i)]),
  );
  return new Body(sections, side, open, call);
}

/** The points of the side, and the number of the first of them in what was written. */
function checkPoints(call: CallId, points: unknown): { outside: [number, number][]; first: number } {
  const isPair = (one: unknown): one is [unknown, unknown] => Array.isArray(one) && one.length === 2;
  if (!Array.isArray(points) || !points.every(isPair)) {
    throw new KitError(
      "kit-wrong-type",
      {
        call: "revolve",
        key: "the first argument",
        allowed: "an array of points [radius, z]",
        value: show(points),
      },
      { call, argument: 0 },
    );
  }
  const read = points.map(([radius, z], i): [number, number] => {
    const at = { name: "revolve", call, argument: 0, path: [String(i)], axes: ["radius", "z"] };
    return [
      checkNumber(at, "0", radius, { min: 0, max: LARGEST / 2, unit: "mm" }),
      checkNumber(at, "1", z, { min: 0, max: LARGEST, unit: "mm" }),
    ];
  });
  const refuse = (i: number, reason: string) => {
    throw new KitError("kit-conflict", { call: "revolve", reason }, { call, argument: 0, path: [String(i)] });
  };
  // An axis point at the height of its neighbour draws the foot or the lid of the outline, not its side.
  const closes = (one: [number, number], next: [number, number] | undefined) =>
    one[0] === 0 && next !== undefined && next[1] === one[1];
  let first = 0;
  let last = read.length;
  if (read.length > 1 && closes(read[0], read[1])) first = 1;
  if (last - first > 1 && closes(read[last - 1], read[last - 2])) last -= 1;
  const side = read.slice(first, last);
  if (side.length < 2) refuse(0, `a turned side needs at least two points, this has ${side.length}.`);
  side.forEach(([radius, z], k) => {
    const i = first + k;
    if (radius < 0.5)
      refuse(i, `point ${i + 1} lies on the axis, where the side would come to a point; keep 0.5 mm off it.`);
    if (k === 0 && z !== 0) refuse(i, `the lowest point is at z ${z}; a vessel stands on z = 0.`);
    if (k > 0 && z === side[k - 1][1])
      refuse(
        i,
        `points ${i} and ${i + 1} are both at z ${z}; a level step has no way up, so raise the second by 0.1 mm or more.`,
      );
    if (k > 0 && z < side[k - 1][1])
      refuse(
        i,
        `point ${i + 1} is at z ${z}, below point ${i} at z ${side[k - 1][1]}; write them from the board upwards.`,
      );
  });
  return { outside: side, first };
}
