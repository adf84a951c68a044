import type { Body } from "../kit/body.ts";

/** How a body's fired size becomes the sizes that are made. */
export interface ClayScale {
  name: string | null;
  /** Total linear shrinkage, fraction of the wet length. */
  total: number;
  used: number;
  /** Cavity size / fired size: (1 − used)/(1 − total). */
  cavity: number;
  /** Size of freshly rolled slab / fired size: 1/(1 − total). */
  fresh: number;
  /** Share of the drying shrinkage that is over when the mold is opened. */
  release: number;
  water: number;
  loi: number;
}

/** Water and loss on ignition of a clay that nobody measured (practice). */
const UNKNOWN = { water: 0.22, loi: 0.07, release: 0.4 };

/**
 * The scale that a body's `shrink` calls ask for. Shrunk twice, it is scaled twice, which a finding
 * then says; never shrunk, it stays at fired size.
 */
export function clayScale(body: Body): ClayScale {
  let cavity = 1;
  let kept = 1;
  for (const { total, used } of body.shrinkings) {
    cavity *= (1 - used) / (1 - total);
    kept *= 1 - total;
  }
  const last = body.shrinkings.at(-1);
  const clay = last?.clay;
  return {
    name: clay?.name ?? null,
    total: 1 - kept,
    used: last?.used ?? 0,
    cavity,
    fresh: 1 / kept,
    release: clay?.release ?? UNKNOWN.release,
    water: clay?.water ?? UNKNOWN.water,
    loi: clay?.loi ?? UNKNOWN.loi,
  };
}
