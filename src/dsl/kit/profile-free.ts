import type { CallId } from "../../../shared/place.ts";
import { findCrossing } from "../outline/crossing.ts";
import type { Curve } from "../outline/curve.ts";
import { drawn, widthOf } from "../outline/drawn.ts";
import { middleOf, path, signedArea } from "../outline/path.ts";
import { polar } from "../outline/polar.ts";
import { moved, reversed } from "../outline/segments.ts";
import { splineSegments } from "../outline/spline.ts";
import { starAngle } from "../outline/star.ts";
import { readSvg } from "../outline/svg-read.ts";
import { KitError } from "./error.ts";
import { checkNumber, show, type Site } from "./options.ts";
import { LARGEST } from "./outline.ts";
import { readBeside } from "./record.ts";

/** Outlines of a maker's own making: a function, points, a drawing. What does not close or crosses itself throws. */

/** No outline encloses less, mm². */
const LEAST_AREA = 1;
/** A spline of more points is a drawing. */
const MOST_POINTS = 500;
/** Points of a spline nearer than this, mm, are one. */
const LEAST_STEP = 0.01;

const mm = (value: number) => String(Math.round(value * 100) / 100);

function conflict(call: CallId, name: string, reason: string): KitError {
  return new KitError("kit-conflict", { call: `profile.${name}`, reason }, { call, argument: 0 });
}

function wrong(call: CallId, name: string, key: string, allowed: string, value: unknown): KitError {
  return new KitError(
    "kit-wrong-type",
    { call: `profile.${name}`, key, allowed, value: show(value) },
    { call, argument: 0 },
  );
}

export function polarOutline(call: CallId, radius: unknown): Curve {
  if (typeof radius !== "function")
    throw wrong(call, "polar", "the first argument", "a function from an angle to a radius", radius);
  const site: Site = { name: "profile.polar", call, argument: 0 };
  const read = (degrees: number) => {
    const value: unknown = (radius as (angle: number) => unknown)(degrees);
    const key = `the radius at ${Math.round(degrees * 10) / 10}°`;
    return checkNumber(site, key, value, { min: 0.5, max: LARGEST, unit: "mm" }, true);
  };
  const found = polar(read);
  if ("curve" in found) return found.curve;
  const { angle, from, to } = found.jump;
  const reason =
    angle === 360
      ? `the outline does not close: the radius is ${mm(to)} mm at 0° and ${mm(from)} mm at 360°.`
      : `the radius jumps from ${mm(from)} to ${mm(to)} mm at ${mm(angle)}°; an outline has no gaps.`;
  throw conflict(call, "polar", reason);
}

export function splineOutline(call: CallId, points: unknown): { curve: Curve; cx: number; cy: number } {
  const isPair = (one: unknown): one is [unknown, unknown] => Array.isArray(one) && one.length === 2;
  if (!Array.isArray(points) || !points.every(isPair))
    throw wrong(call, "spline", "the first argument", "an array of points [x, y]", points);
  const bounds = { min: -LARGEST, max: LARGEST, unit: "mm" } as const;
  const given = points.map(([x, y], i): [number, number] => {
    const site: Site = { name: "profile.spline", call, argument: 0, path: [String(i)], axes: ["x", "y"] };
    return [checkNumber(site, "0", x, bounds), checkNumber(site, "1", y, bounds)];
  });
  const far = (a: readonly number[], b: readonly number[]) => Math.hypot(a[0] - b[0], a[1] - b[1]);
  // A maker may write the first point once more to close the curve.
  if (given.length > 1 && far(given[0], given[given.length - 1]) < LEAST_STEP) given.pop();
  if (given.length < 3)
    throw conflict(call, "spline", `an outline needs at least 3 points, this has ${given.length}.`);
  if (given.length > MOST_POINTS)
    throw conflict(
      call,
      "spline",
      `${given.length} points are more than the ${MOST_POINTS} that a spline takes; use profile.svg or profile.polar.`,
    );
  const double = given.findIndex((one, i) => i > 0 && far(one, given[i - 1]) < LEAST_STEP);
  if (double > 0)
    throw conflict(call, "spline", `points ${double} and ${double + 1} are the same; take one away.`);

  let segments = splineSegments(given);
  const clockwise = signedArea({ segments }) < 0;
  if (clockwise) segments = segments.reverse().map(reversed);
  if (signedArea({ segments }) < LEAST_AREA)
    throw conflict(call, "spline", "these points lie on a line and enclose nothing.");
  const crossing = findCrossing({ segments });
  if (crossing)
    throw conflict(
      call,
      "spline",
      `the curve crosses itself near (${mm(crossing.x)}, ${mm(crossing.y)}); move the points there apart or change their order.`,
    );
  const curve = path("spline", segments);
  if (starAngle(curve) < 180 || encloses(segments)) return { curve, cx: 0, cy: 0 };
  const { x, y } = middleOf({ segments });
  const centred = path(
    "spline",
    segments.map((segment) => moved(segment, -x, -y)),
  );
  return { curve: centred, cx: x, cy: y };
}

/** The origin lies inside. */
function encloses(segments: Parameters<typeof signedArea>[0]["segments"]): boolean {
  let around = 0;
  for (const segment of segments) {
    let p = segment.at(0);
    for (let i = 1; i <= 48; i++) {
      const q = segment.at(i / 48);
      around += Math.atan2(p.x * q.y - p.y * q.x, p.x * q.x + p.y * q.y);
      p = q;
    }
  }
  return around > Math.PI;
}

export function svgOutline(call: CallId, file: unknown, width: number | undefined): Curve {
  if (typeof file !== "string" || file.trim() === "")
    throw wrong(call, "svg", "the first argument", "the name of a file, such as “outline.svg”", file);
  const refuse = (fault: string) => conflict(call, "svg", `${show(file)} cannot be used: ${fault}.`);
  const found = readBeside(call, file);
  if ("fault" in found) throw refuse(found.fault);
  const text = new TextDecoder().decode(found.bytes);
  const read = readSvg(text);
  if ("fault" in read) throw refuse(read.fault);
  const { segments } = read;
  if (segments.some((segment) => !Number.isFinite(segment.length)))
    throw refuse("its first closed path has numbers that are not finite");
  const area = Math.abs(signedArea({ segments }));
  const size = widthOf(segments);
  if (!(area > 1e-6 * size * size) || (width === undefined && area < LEAST_AREA))
    throw refuse("its first closed path encloses nothing");
  if (width === undefined && size > LARGEST)
    throw refuse(`its first closed path is ${mm(size)} mm wide; give a width`);
  const crossing = findCrossing({ segments });
  if (crossing) {
    const where = `near (${mm(crossing.x)}, ${mm(-crossing.y)}) of the drawing, mm`;
    throw refuse(`its first closed path crosses itself ${where}`);
  }
  return drawn(segments, `svg ${found.file}`, width);
}
