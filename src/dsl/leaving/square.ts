import type { PullProblem, Witness } from "./pull.ts";
import { cross, dot, squareTo, unit, type Vec3 } from "./vector.ts";

/** Normals this near to the plane of others count as in it: the sine of 0.001°. */
const SAME_PLANE = 2e-5;

const LEVEL: Vec3[] = [
  [0, 0, 1],
  [0, 0, -1],
];

function normalOf(problem: PullProblem, { kind, index }: Witness): Vec3 {
  if (kind === "level") return LEVEL[index];
  const normals = (kind === "clay" ? problem.clay : kind === "slide" ? problem.slides : problem.flanks)!;
  return [normals[3 * index], normals[3 * index + 1], normals[3 * index + 2]];
}

/**
 * Directions square to the normals that leave no draft: along them those normals hold nothing back.
 * Normals in one line leave a circle, of which this gives the place nearest to `middle` where no
 * other clay faces against the pull, or where the least does, and points all round; normals in one
 * plane leave its two perpendiculars; more leave those of each pair.
 */
export function squareDirections(problem: PullProblem, witnesses: readonly Witness[], middle: Vec3): Vec3[] {
  const normals = witnesses.map((witness) => normalOf(problem, witness));
  const first = normals[0];
  const second = normals.find((normal) => Math.hypot(...cross(first, normal)) > SAME_PLANE);
  if (second === undefined) return aroundAxis(problem, first, middle);
  const found: Vec3[] = [];
  for (let i = 0; i < normals.length; i++) {
    for (let j = i + 1; j < normals.length; j++) {
      const axis = unit(cross(normals[i], normals[j]), SAME_PLANE);
      if (axis !== null) found.push(axis, [-axis[0], -axis[1], -axis[2]]);
    }
  }
  return found;
}

const POINTS = 72;

function aroundAxis(problem: PullProblem, axis: Vec3, middle: Vec3): Vec3[] {
  const [first, second] = squareTo(axis);
  const at = (angle: number): Vec3 => {
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    return [c * first[0] + s * second[0], c * first[1] + s * second[1], c * first[2] + s * second[2]];
  };
  const start = Math.atan2(dot(middle, second), dot(middle, first));
  const found = [start, ...freeArc(problem, first, second, start)];
  for (let k = 1; k < POINTS; k++) found.push(start + (k * 2 * Math.PI) / POINTS);
  return found.map(at);
}

/**
 * Of the arc of directions along which no clay and no slide faces against the pull: the place
 * nearest to `start`, and its ends. Empty when there is no such arc. Every normal allows the half
 * circle about itself; normals that are exactly opposite allow its two ends, which are both given.
 */
function freeArc(problem: PullProblem, first: Vec3, second: Vec3, start: number): number[] {
  let base: number | null = null;
  let low = -Math.PI / 2;
  let high = Math.PI / 2;
  for (const normals of [problem.clay, problem.slides]) {
    if (normals === undefined) continue;
    for (let i = 0; i < normals.length; i += 3) {
      const normal: Vec3 = [normals[i], normals[i + 1], normals[i + 2]];
      const x = dot(normal, first);
      const y = dot(normal, second);
      if (Math.hypot(x, y) < SAME_PLANE) continue;
      const angle = Math.atan2(y, x);
      base ??= angle;
      const turn = wrapped(angle - base);
      if (turn >= 0) low = Math.max(low, turn - Math.PI / 2);
      else high = Math.min(high, turn + Math.PI / 2);
    }
  }
  if (base === null) return [start];
  if (low > high + SAME_PLANE) return [];
  const nearest = Math.min(high, Math.max(low, wrapped(start - base)));
  // Opposite normals: what is left may be either end of the first half circle.
  const ends = [low, high, -Math.PI / 2, Math.PI / 2];
  return [nearest, ...ends].map((angle) => base + angle);
}

/** The same angle in (−π, π]. */
const wrapped = (angle: number): number => angle - 2 * Math.PI * Math.ceil(angle / (2 * Math.PI) - 0.5);
