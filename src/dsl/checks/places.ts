import type { Vec3 } from "../mold/model.ts";

/** A finding shows no more places than this. */
const MOST_TOLD = 20;
/** Places nearer than this, mm, are one to look at. */
const APART = 8;

/** The first of places sorted by how bad they are, those left out that lie beside one that is kept. */
export function apart(sorted: readonly Vec3[]): Vec3[] {
  const kept: Vec3[] = [];
  for (const at of sorted) {
    if (kept.length >= MOST_TOLD) break;
    if (kept.every((one) => Math.hypot(one[0] - at[0], one[1] - at[1], one[2] - at[2]) >= APART))
      kept.push(at);
  }
  return kept;
}
