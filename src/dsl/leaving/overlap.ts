/** A triangle seen along a direction: place (u, v) and height h of its corners, mm. */
export type Seen = [
  ua: number,
  va: number,
  ha: number,
  ub: number,
  vb: number,
  hb: number,
  uc: number,
  vc: number,
  hc: number,
];

/** What two seen triangles have in common. */
export interface Overlap {
  /** mm². */
  area: number;
  /** Height of the second above the first where the two overlap: greatest, and at the middle, mm. */
  most: number;
  middle: number;
}

const scratch: [Float64Array, Float64Array] = [new Float64Array(24), new Float64Array(24)];

/**
 * The part of the plane that both triangles cover, whichever way round they run: the first cut by
 * the three edges of the second. Triangles that only touch, or one that is seen edge on, have none.
 */
export function overlapOf(first: Seen, second: Seen): Overlap | null {
  const turn = turnOf(second);
  const own = turnOf(first);
  if (Math.abs(turn) < 1e-9 || Math.abs(own) < 1e-9) return null;
  const side = turn > 0 ? 1 : -1;
  // Plain assignments throughout: this runs so often that the short-lived arrays of others would be felt.
  let from = scratch[0];
  let into = scratch[1];
  for (let k = 0; k < 3; k++) {
    from[2 * k] = first[3 * k];
    from[2 * k + 1] = first[3 * k + 1];
  }
  let count = 3;
  for (let e = 0; e < 3 && count > 0; e++) {
    const pu = second[3 * e];
    const pv = second[3 * e + 1];
    const eu = side * (second[(3 * e + 3) % 9] - pu);
    const ev = side * (second[(3 * e + 4) % 9] - pv);
    let kept = 0;
    let lastU = from[2 * count - 2];
    let lastV = from[2 * count - 1];
    let last = eu * (lastV - pv) - ev * (lastU - pu);
    for (let k = 0; k < count; k++) {
      const u = from[2 * k];
      const v = from[2 * k + 1];
      const here = eu * (v - pv) - ev * (u - pu);
      if (last > 0 !== here > 0) {
        const part = last / (last - here);
        into[2 * kept] = lastU + part * (u - lastU);
        into[2 * kept++ + 1] = lastV + part * (v - lastV);
      }
      if (here > 0) {
        into[2 * kept] = u;
        into[2 * kept++ + 1] = v;
      }
      lastU = u;
      lastV = v;
      last = here;
    }
    count = kept;
    const cut = into;
    into = from;
    from = cut;
  }
  if (count < 3) return null;

  // Height of the second above the first as a plane over (u, v), counted from the second's first corner.
  const [gu, gv] = slopeOf(first, own);
  const [ku, kv] = slopeOf(second, turn);
  const ua = second[0];
  const va = second[1];
  const ha = second[2];
  const base = ha - (first[2] + gu * (ua - first[0]) + gv * (va - first[1]));
  let area = 0;
  let most = -Infinity;
  let sumU = 0;
  let sumV = 0;
  for (let k = 0; k < count; k++) {
    const next = k + 1 === count ? 0 : k + 1;
    const u = from[2 * k] - ua;
    const v = from[2 * k + 1] - va;
    area += u * (from[2 * next + 1] - va) - v * (from[2 * next] - ua);
    most = Math.max(most, base + (ku - gu) * u + (kv - gv) * v);
    sumU += u;
    sumV += v;
  }
  const middle = base + ((ku - gu) * sumU + (kv - gv) * sumV) / count;
  return { area: Math.abs(area) / 2, most, middle };
}

/** Twice the area, positive counter-clockwise. */
function turnOf(seen: Seen): number {
  return (seen[3] - seen[0]) * (seen[7] - seen[1]) - (seen[4] - seen[1]) * (seen[6] - seen[0]);
}

/** How the height changes with u and with v. */
function slopeOf(seen: Seen, turn: number): [number, number] {
  const [ub, vb, hb] = [seen[3] - seen[0], seen[4] - seen[1], seen[5] - seen[2]];
  const [uc, vc, hc] = [seen[6] - seen[0], seen[7] - seen[1], seen[8] - seen[2]];
  return [(hb * vc - hc * vb) / turn, (hc * ub - hb * uc) / turn];
}
