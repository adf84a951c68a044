import { Body } from "./body.ts";
import { KitError } from "./error.ts";
import { checkKeys, checkNumber, show } from "./options.ts";
import { LARGEST, Outline } from "./outline.ts";
import { recordCall, recordMade } from "./record.ts";
import type { PathPoint } from "./solid-shape.ts";

export const SWEEP_DEFAULTS = Object.freeze({ taper: 1, ends: 4 } as const);

/** Points of a path nearer to each other than this, mm, give no direction. */
const LEAST_STEP = 0.5;

/**
 * A body along a smooth path, for handles and spouts: an outline moved through points, turning with
 * the path and never about it. It is open at both ends.
 *
 * At the start the outline's x lies level, to the left of the way, and its y square to both; on an
 * upright start its x lies along the world's y.
 *
 * @param outline fired mm; its centre runs along the path
 * @param path two or more points [x, y, z], fired mm, in order
 * @param options `taper`: size of the outline at the end of the path, of that at its start, default 1;
 *   `ends`: how much longer it is at each end, wet mm, to be pared to fit, default 4
 */
export function sweep(
  outline: Outline,
  path: readonly (readonly [number, number, number])[],
  options?: { taper?: number; ends?: number },
): Body {
  const call = recordCall("sweep");
  if (!(outline instanceof Outline)) {
    const allowed = "an outline, such as profile.ellipse(…)";
    throw new KitError(
      "kit-wrong-type",
      { call: "sweep", key: "the first argument", allowed, value: show(outline) },
      { call, argument: 0 },
    );
  }
  const points = checkPath(call, path);
  const site = { name: "sweep", call, argument: 2 };
  const given = { ...SWEEP_DEFAULTS, ...checkKeys(site, options, ["taper", "ends"]) };
  const taper = checkNumber(site, "taper", given.taper, { min: 0.1, max: 10 });
  const ends = checkNumber(site, "ends", given.ends, { min: 0, max: 100, unit: "mm" });
  recordMade(call, [outline.call]);
  return new Body([], "smooth", "both", call, [], { kind: "sweep", outline, path: points, taper, ends });
}

function checkPath(call: number, path: unknown): readonly PathPoint[] {
  const wrong = (value: unknown) =>
    new KitError(
      "kit-wrong-type",
      {
        call: "sweep",
        key: "path",
        allowed: "an array of at least two points [x, y, z]",
        value: show(value),
      },
      { call, argument: 1 },
    );
  if (!Array.isArray(path) || path.length < 2) throw wrong(path);
  const points = (path as unknown[]).map((point, i): PathPoint => {
    if (!Array.isArray(point) || point.length !== 3) throw wrong(point);
    const site = { name: "sweep", call, argument: 1, path: [String(i)], axes: ["x", "y", "z"] };
    const [x, y, z] = point.map((value, axis) =>
      checkNumber(site, String(axis), value, { min: -LARGEST, max: LARGEST, unit: "mm" }),
    );
    return Object.freeze([x, y, z] as const);
  });
  points.forEach((point, i) => {
    const before = points[i - 1] as PathPoint | undefined;
    if (!before) return;
    if (Math.hypot(...point.map((value, axis) => value - before[axis])) >= LEAST_STEP) return;
    const reason = `points ${i} and ${i + 1} of the path are nearer than ${LEAST_STEP} mm to one another; leave one out.`;
    throw new KitError("kit-conflict", { call: "sweep", reason }, { call, argument: 1 });
  });
  return Object.freeze(points);
}
