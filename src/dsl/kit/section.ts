import type { CallId } from "../../../shared/place.ts";
import type { CurvePoint, Segment } from "../outline/curve.ts";
import { drawn } from "../outline/drawn.ts";
import { middleOf, path, signedArea } from "../outline/path.ts";
import { ring } from "../outline/ring.ts";
import { through } from "../outline/segments.ts";
import { Form } from "../form/form.ts";
import { onLevels } from "../mold/free-measure.ts";
import type { Body } from "./body.ts";
import { checkBody } from "./bodies.ts";
import { KitError } from "./error.ts";
import { checkNumber } from "./options.ts";
import { Outline } from "./outline.ts";
import { recordCall, recordMade } from "./record.ts";

/** Points of a level section between two marks, and at least this many a whole turn. */
const BETWEEN_MARKS = 8;
const AROUND = 180;
/** No outline encloses less, mm². */
const LEAST_AREA = 1;

/**
 * The level section of a body as an outline: what a lid, a cutter or the next body can start from.
 *
 * @param body its fired size counts, whether it was shrunk or not
 * @param z height above the board, fired mm, from the foot to the rim of the body
 * @throws KitError where that section is not one outline: a hollow, or two legs
 */
export function section(body: Body, z: number): Outline {
  const call = recordCall("section");
  const { sections, side, solid } = checkBody("section", call, body);
  const check = (min: number, max: number) =>
    checkNumber({ name: "section", call, argument: 1 }, "z", z, { min, max, unit: "mm" }, true);
  recordMade(call, [body.call]);
  if (solid)
    return onLevels(body, "section", (levels) => {
      check(levels.min, levels.max);
      return outlineOf(levels.loopsAt(z), z, call);
    });
  check(sections[0].z, sections[sections.length - 1].z);
  const written = sections.find((one) => one.z === z);
  if (written) {
    const { curve, cx, cy, turned } = written.outline;
    return new Outline(curve, call, cx, cy, turned);
  }
  const form = new Form(body, 1);
  const centre = form.centre(z);
  const cos = Math.cos(centre.turn);
  const sin = Math.sin(centre.turn);
  const point = (u: number, before: -1 | 1): CurvePoint => {
    const p = form.column(u, before).at(z);
    const x = p.x - centre.x;
    const y = p.y - centre.y;
    const speed = Math.hypot(p.ux, p.uy);
    return {
      x: cos * x + sin * y,
      y: cos * y - sin * x,
      tx: (cos * p.ux + sin * p.uy) / speed,
      ty: (cos * p.uy - sin * p.ux) / speed,
    };
  };
  const us = form.marks.map((mark) => mark.u);
  const segments = us.flatMap((from, k): Segment[] => {
    const to = us[k + 1] ?? 1;
    const step = Math.min((to - from) / BETWEEN_MARKS, 1 / AROUND, form.longestStep / 2);
    const count = Math.ceil((to - from) / step);
    const points = Array.from({ length: count }, (_, i) => point(from + ((to - from) * i) / count, 1));
    const piece = through([...points, point(to >= 1 ? 0 : to, -1)]);
    return piece && piece.length > 1e-6 ? [piece] : [];
  });
  // Sections of one body, or of bodies whose marks agree, correspond mark by mark.
  const kind = `section ${side} ${us.map((u) => u.toFixed(6)).join(" ")}`;
  return new Outline(path(kind, segments), call, centre.x, centre.y, (centre.turn * 180) / Math.PI);
}

/** A section's only border as an outline about the middle of its area. */
function outlineOf(loops: readonly (readonly [number, number])[][], z: number, call: CallId): Outline {
  const curve = loops.length === 1 ? ring(loops[0].map(([x, y]) => ({ x, y }))) : null;
  if (!curve || signedArea(curve) < LEAST_AREA) {
    const what =
      loops.length > 1 ? `${loops.length} borders, as two legs or a hollow have` : "next to no area";
    const reason = `this body's section at z ${z} has ${what}; an outline is one closed line. Ask at another height.`;
    throw new KitError("kit-conflict", { call: "section", reason }, { call, argument: 1 });
  }
  const { x, y } = middleOf(curve);
  return new Outline(drawn(curve.segments, null), call, x, y);
}
