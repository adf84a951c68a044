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
  let [from, into] = scratch;
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
      [lastU, lastV, last] = [u, v, here];
    }
    count = kept;
    [from, into] = [into, from];
  }
  if (count < 3) return null;

  // Height of the second above the first as a plane over (u, v), counted from the second's first corner.
  const [gu, gv] = slopeOf(first, own);
  const [ku, kv] = slopeOf(second, turn);
  const [ua, va, ha] = second;
  const base = ha - (first[2] + gu * (ua - first[0]) + gv * (va - first[1]));
  let [area, most, sumU, sumV] = [0, -Infinity, 0, 0];
  for (let k = 0; k < count; k++) {
    const next = k + 1 === count ? 0 : k + 1;
    const [u, v] = [from[2 * k] - ua, from[2 * k + 1] - va];
    area += u * (from[2 * next + 1] - va) - v * (from[2 * next] - ua);
    most = Math.max(most, base + (ku - gu) * u + (kv - gv) * v);
    sumU += u;
    sumV += v;
  }
  const middle = base + ((ku - gu) * sumU + (kv - gv) * sumV) / count;
  return { area: Math.abs(area) / 2, most, middle };
}

/** Twice the area, positive counter-clockwise. */
export function turnOf([ua, va, , ub, vb, , uc, vc]: Seen): number {
  return (ub - ua) * (vc - va) - (vb - va) * (uc - ua);
}

/** How the height changes with u and with v. */
function slopeOf([ua, va, ha, ub, vb, hb, uc, vc, hc]: Seen, turn: number): [number, number] {
  return [
    ((hb - ha) * (vc - va) - (hc - ha) * (vb - va)) / turn,
    ((hc - ha) * (ub - ua) - (hb - ha) * (uc - ua)) / turn,
  ];
}
