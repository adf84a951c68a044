import { Form } from "../form/form.ts";
import { KitError } from "../kit/error.ts";
import type { MoldSpec } from "../kit/mold.ts";
import type { Scope, Solid } from "../solid/kernel.ts";
import { snap } from "../solid/weld.ts";
import { letter, seamName } from "./assemble.ts";
import type { FlatSeam } from "./flat-seam.ts";
import { highLines } from "./seam-plan.ts";
import { polarAngle } from "./seams.ts";
import type { Sector } from "./sector-facets.ts";

const TURN = 2 * Math.PI;
const FAR = 4000;
const positive = (angle: number) => angle - TURN * Math.floor(angle / TURN + 1e-12);

/** The lowest section of a body: what angles of seams are measured at. */
export interface LowestSection {
  /** Its centre, snapped, mm. */
  centre: { x: number; y: number };
  /** Its outlines, xy pairs, mm. */
  loops: (readonly [number, number])[][];
}

/** The lowest section of a solid is looked at this far up, as a share of its height, and no higher, mm. */
const UP = { share: 0.02, most: 1 };

/** @param scale wet size / fired size */
export function lowestSection(scope: Scope, clay: Solid, spec: MoldSpec, scale: number): LowestSection {
  const { min, max } = scope.bounds(clay);
  const section = scope.section(clay, min[2] + Math.min(UP.most, UP.share * (max[2] - min[2])));
  const loops = scope.loops(section);
  const { sections } = spec.body;
  if (sections.length > 0) {
    const { cx, cy } = sections[0].outline;
    return { centre: { x: snap(cx * scale), y: snap(cy * scale) }, loops };
  }
  return { centre: centroidOf(loops), loops };
}

function centroidOf(loops: LowestSection["loops"]): { x: number; y: number } {
  let [area, x, y] = [0, 0, 0];
  for (const loop of loops)
    loop.forEach(([ax, ay], i) => {
      const [bx, by] = loop[(i + 1) % loop.length];
      const cross = ax * by - bx * ay;
      area += cross;
      x += cross * (ax + bx);
      y += cross * (ay + by);
    });
  return { x: snap(x / (3 * area)), y: snap(y / (3 * area)) };
}

/** Angles of the seams of a split, rising, radians; `at: "best"` is not decided here. */
export function seamAngles(spec: MoldSpec, lowest: LowestSection, scale: number): number[] {
  const { at, parts } = spec.seams;
  if (at === "best") throw new Error("the best seams are looked for elsewhere");
  if (at === "corners") return cornerAngles(spec, lowest, scale);
  const angles = at.map((degrees) => positive((degrees * Math.PI) / 180));
  return angles.length > 1 ? angles.sort((a, b) => a - b) : evenAngles(angles[0], parts);
}

/** Seams equal in angle from a first one on, rising, radians. */
export function evenAngles(first: number, parts: number): number[] {
  return Array.from({ length: parts }, (_, i) => positive(first + (TURN * i) / parts)).sort((a, b) => a - b);
}

/** Seams are no nearer to one another than this, radians. */
const LEAST_APART = (10 * Math.PI) / 180;

/** Of the angles of corners, else of high lines, as many as there are parts, chosen most evenly. */
function cornerAngles(spec: MoldSpec, lowest: LowestSection, scale: number): number[] {
  const { parts, call } = spec.seams;
  const { sections, solid } = spec.body;
  const lines = sections.length > 0 && !solid ? formLines(new Form(spec.body, scale)) : farthest(lowest);
  const angles = lines
    .map(positive)
    .sort((a, b) => a - b)
    .filter((angle, i, all) => i === 0 || angle - all[i - 1] > 1e-6);
  let best: number[] | null = null;
  let least = Infinity;
  for (const start of angles) {
    const chosen = new Set<number>();
    for (let i = 0; i < parts && angles.length >= parts; i++) {
      const wanted = start + (TURN * i) / parts;
      const away = (angle: number) => Math.abs(angle - wanted - TURN * Math.round((angle - wanted) / TURN));
      chosen.add(angles.filter((one) => !chosen.has(one)).sort((a, b) => away(a) - away(b) || a - b)[0]);
    }
    const own = [...chosen].sort((a, b) => a - b);
    const gaps = own.map((angle, i) => (own[i + 1] ?? own[0] + TURN) - angle);
    if (own.length < parts || gaps.some((gap) => gap < LEAST_APART)) continue;
    const unevenness = gaps.reduce((sum, gap) => sum + (gap - TURN / parts) ** 2, 0);
    if (unevenness < least - 1e-12) {
      least = unevenness;
      best = own;
    }
  }
  if (best) return best;
  const has = angles.length === 0 ? "no corners or crests" : `only ${angles.length} corners or crests`;
  const reason = `this form has ${has} that ${parts} seams could stand on; give “at” an angle.`;
  throw new KitError("kit-conflict", { call: "split", reason }, { call, argument: 0, path: ["at"] });
}

const formLines = (form: Form): number[] => highLines(form).map((u) => polarAngle(form, u, 0));

/** A crest is at least this share of the greatest difference in radius higher than the least. */
const CREST = 0.5;
/** Radii that differ by less than this fraction make a round section without crests. */
const ROUND = 1e-3;

/** Angles at which the section is farther from its centre than on both sides. */
function farthest({ centre, loops }: LowestSection): number[] {
  const all = loops.flatMap((loop) =>
    loop.map(([x, y], i) => {
      const radius = (k: number) => {
        const [px, py] = loop[(k + loop.length) % loop.length];
        return Math.hypot(px - centre.x, py - centre.y);
      };
      const own = radius(i);
      const crest = own >= radius(i - 1) && own > radius(i + 1);
      return { angle: Math.atan2(y - centre.y, x - centre.x), own, crest };
    }),
  );
  const radii = all.map(({ own }) => own);
  const [least, most] = [Math.min(...radii), Math.max(...radii)];
  if (most - least < ROUND * most) return [];
  return all
    .filter(({ own, crest }) => crest && own - least > CREST * (most - least))
    .map(({ angle }) => angle);
}

/** The seams at these angles: parts are named counter-clockwise, each from the seam of its own number on. */
export function flatSeams(angles: readonly number[], { centre }: LowestSection): FlatSeam[] {
  const count = angles.length;
  return angles.map((angle, s): FlatSeam => ({
    name: seamName(s),
    proud: `wall-${letter((s + count - 1) % count)}`,
    hollow: `wall-${letter(s)}`,
    at: [centre.x, centre.y, 0],
    outwards: [Math.cos(angle), Math.sin(angle), 0],
    axis: [-Math.sin(angle), Math.cos(angle), 0],
  }));
}

/** The sectors of the parts: from each seam to the next. */
export function sectorsOf(angles: readonly number[], { centre }: LowestSection): Sector[] {
  return angles.map((from, i) => ({ centre, from, to: angles[(i + 1) % angles.length] }));
}

/** A sector as a solid between two heights. Neighbours share the corners of the plane between them. */
export function wedge(
  scope: Scope,
  { centre, from, to }: Sector,
  span: number,
  low: number,
  high: number,
  call: number,
): Solid {
  const far = (angle: number): [number, number] => [
    snap(centre.x + FAR * Math.cos(angle)),
    snap(centre.y + FAR * Math.sin(angle)),
  ];
  // The way round, in steps that keep it far out.
  const steps = Math.ceil(span / (Math.PI / 3));
  const round = Array.from({ length: steps - 1 }, (_, i) => far(from + (span * (i + 1)) / steps));
  const loop: [number, number][] = [[centre.x, centre.y], far(from), ...round, far(to)];
  return scope.move(scope.raise(scope.flat([loop]), high - low, { face: "seam", call }), [0, 0, low]);
}
