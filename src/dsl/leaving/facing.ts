import { sinDeg, type Vec3 } from "./vector.ts";

/** Clay faces the wrong way when its normal leans this much against the pull, degrees: less is rounding. */
export const WRONG_FACING = 0.1;

/** Its sine: clay with n·m under this faces the wrong way. */
export const WRONG = -sinDeg(WRONG_FACING);

/** Share of a triangle on which n·m, linear between its corners, is under the limit. */
export function shareBelow(a: number, b: number, c: number): number {
  // Written out, since this runs some hundred thousand times for each form.
  const pa = WRONG - a;
  const pb = WRONG - b;
  const pc = WRONG - c;
  if (pa > 0) {
    if (pb > 0) return pc > 0 ? 1 : 1 - corner(-pc, pa, pb);
    return pc > 0 ? 1 - corner(-pb, pa, pc) : corner(pa, -pb, -pc);
  }
  if (pb > 0) return pc > 0 ? 1 - corner(-pa, pb, pc) : corner(pb, -pa, -pc);
  return pc > 0 ? corner(pc, -pa, -pb) : 0;
}

/** Share that the limit cuts off at one corner: how far that is beyond it, and the others on its other side. */
function corner(own: number, other: number, another: number): number {
  return (own / (own + other)) * (own / (own + another));
}

/** Clay normals with the area each stands for. */
export interface Facing {
  /** Unit vectors, xyz one after another. */
  normals: Float64Array;
  /** mm², one a normal. */
  areas: Float64Array;
}

/** Area of the clay that faces against `m`, mm², and the sine of the least draft along it. */
export function facingAlong({ normals, areas }: Facing, m: Vec3): { area: number; least: number } {
  const [x, y, z] = m;
  let area = 0;
  let least = 1;
  for (let i = 0, j = 0; i < normals.length; i += 3, j++) {
    const sine = normals[i] * x + normals[i + 1] * y + normals[i + 2] * z;
    if (sine < WRONG) area += areas[j];
    if (sine < least) least = sine;
  }
  return { area, least };
}

/** Cells along an edge of the cube that directions are sorted into: about 3° each. */
const CELLS = 32;

/**
 * The same normals sorted by direction, one mean normal and the summed area a cell: for looking
 * over many directions, off by up to a cell at the border of what faces wrongly.
 */
export function binFacing({ normals, areas }: Facing): Facing {
  const bins = 6 * CELLS * CELLS;
  const sums = new Float64Array(3 * bins);
  const total = new Float64Array(bins);
  for (let i = 0, j = 0; i < normals.length; i += 3, j++) {
    const bin = cellOf(normals[i], normals[i + 1], normals[i + 2]);
    sums[3 * bin] += areas[j] * normals[i];
    sums[3 * bin + 1] += areas[j] * normals[i + 1];
    sums[3 * bin + 2] += areas[j] * normals[i + 2];
    total[bin] += areas[j];
  }
  const filled: number[] = [];
  for (let bin = 0; bin < bins; bin++) if (total[bin] > 0) filled.push(bin);
  const out = { normals: new Float64Array(3 * filled.length), areas: new Float64Array(filled.length) };
  filled.forEach((bin, j) => {
    const length = Math.hypot(sums[3 * bin], sums[3 * bin + 1], sums[3 * bin + 2]);
    for (let axis = 0; axis < 3; axis++) out.normals[3 * j + axis] = sums[3 * bin + axis] / length;
    out.areas[j] = total[bin];
  });
  return out;
}

function cellOf(x: number, y: number, z: number): number {
  const ax = Math.abs(x);
  const ay = Math.abs(y);
  const az = Math.abs(z);
  let face: number, u: number, v: number;
  if (ax >= ay && ax >= az) [face, u, v] = [x > 0 ? 0 : 1, y / ax, z / ax];
  else if (ay >= az) [face, u, v] = [y > 0 ? 2 : 3, x / ay, z / ay];
  else [face, u, v] = [z > 0 ? 4 : 5, x / az, y / az];
  const cell = (value: number) => Math.min(CELLS - 1, Math.floor(((value + 1) / 2) * CELLS));
  return (face * CELLS + cell(u)) * CELLS + cell(v);
}
