import type { Form } from "../form/form.ts";
import { KitError } from "../kit/error.ts";
import type { Split } from "../kit/split.ts";
import { polarAngle, uAtAngle, type SeamPlan } from "./seams.ts";

/** How a form is cut: what `split` says but for where the seams stand. */
export type Cut = Pick<Split, "parts" | "follow" | "call">;

/** Where the seams of a split stand on a form; `at: "best"` is not decided here. */
export function planSeams(form: Form, split: Cut, at: Exclude<Split["at"], "best">): SeamPlan[] {
  if (at === "corners") return cornerSeams(form, split).map((u) => planAt(form, split, u));
  const angles = at.map((degrees) => (degrees * Math.PI) / 180);
  if (angles.length > 1) return angles.map((angle) => planAt(form, split, uAtAngle(form, angle, 0)));
  return evenSeams(form, split, uAtAngle(form, angles[0], 0));
}

/** Seams from a first one on: equal in u when they follow the form, equal in angle when they are flat. */
export function evenSeams(form: Form, split: Cut, first: number): SeamPlan[] {
  const angle = polarAngle(form, first, 0);
  return Array.from({ length: split.parts }, (_, i) => {
    if (split.follow === "form") return planAt(form, split, (first + i / split.parts) % 1);
    const turned = angle + (2 * Math.PI * i) / split.parts;
    return { follow: split.follow, u: uAtAngle(form, turned, 0), angle: turned };
  });
}

function planAt(form: Form, split: Cut, u: number): SeamPlan {
  return { follow: split.follow, u, angle: polarAngle(form, u, 0) };
}

const known = new WeakMap<Form, readonly number[]>();

/** Corners of the outline, else its high lines: where the radius is greatest, summed over the sections. */
export function highLines(form: Form): readonly number[] {
  let lines = known.get(form);
  if (!lines) known.set(form, (lines = findHighLines(form)));
  return lines;
}

function findHighLines(form: Form): number[] {
  const corners = form.marks.filter((mark) => mark.corner).map((mark) => mark.u);
  if (corners.length > 0) return corners;
  const steps = Math.max(96, Math.ceil(4 / form.longestStep));
  const radius = Array.from({ length: steps }, (_, i) => meanRadius(form, i / steps));
  const spread = Math.max(...radius) - Math.min(...radius);
  if (spread < ROUND * Math.max(...radius)) return [];
  return radius.flatMap((value, i) => {
    const before = radius[(i + steps - 1) % steps];
    const after = radius[(i + 1) % steps];
    return value >= before && value > after && value - Math.min(...radius) > 0.5 * spread ? [i / steps] : [];
  });
}

/** Radii that differ by less than this fraction make a round form without high lines. */
const ROUND = 1e-4;

function meanRadius(form: Form, u: number): number {
  const column = form.column(u);
  return form.zs.reduce((sum, z) => {
    const p = column.at(z);
    const c = form.centre(z);
    return sum + Math.hypot(p.x - c.x, p.y - c.y);
  }, 0);
}

/** The most even choice of as many high lines as there are parts; of equal ones that with the lowest u. */
function cornerSeams(form: Form, split: Cut): number[] {
  const lines = highLines(form);
  const { parts } = split;
  if (lines.length < parts) {
    const has = lines.length === 0 ? "no corners or crests" : `only ${lines.length} corners or crests`;
    throw new KitError(
      "kit-conflict",
      { call: "split", reason: `this form has ${has} for ${parts} seams; give “at” an angle.` },
      { call: split.call, argument: 0, path: ["at"] },
    );
  }
  let best: number[] = [];
  let least = Infinity;
  for (const start of lines) {
    const chosen = new Set<number>();
    for (let i = 0; i < parts; i++) {
      const wanted = start + i / parts;
      const nearest = lines
        .filter((u) => !chosen.has(u))
        .sort((a, b) => away(a, wanted) - away(b, wanted) || a - b)[0];
      chosen.add(nearest);
    }
    const us = [...chosen].sort((a, b) => a - b);
    const gaps = us.map((u, i) => (us[i + 1] ?? us[0] + 1) - u);
    const unevenness = gaps.reduce((sum, gap) => sum + (gap - 1 / parts) ** 2, 0);
    if (unevenness < least - 1e-12) {
      least = unevenness;
      best = us;
    }
  }
  return best;
}

const away = (u: number, wanted: number) => Math.abs(u - wanted - Math.round(u - wanted));
