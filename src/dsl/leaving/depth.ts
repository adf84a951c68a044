import type { SolidView } from "./solid-view.ts";
import type { Corner } from "./pieces.ts";
import { along, dot, squareTo, unit, type Vec3 } from "./vector.ts";

/** A normal nearer to the pull than this has no side to give way to: the sine of 0.06°. */
const ALONG_PULL = 1e-3;
/** Directions looked in where the normal names none. */
const ROUND = 16;

/**
 * How far the clay must give at a point of its surface before a ray along the pull `m` is free, mm:
 * the least distance along d = unit(n − (n·m)m), or along the best of 16 directions square to the
 * pull where the normal lies along it. 0 where the ray is free as it is.
 */
export function depthAt(view: SolidView, { at, normal }: Corner, m: Vec3): number {
  const sideways = unit(along(normal, -dot(normal, m), m), ALONG_PULL);
  if (sideways !== null) return view.firstFree(at, sideways);
  const [first, second] = squareTo(m);
  let least = Infinity;
  for (let k = 0; k < ROUND && least > 0; k++) {
    const angle = (2 * Math.PI * k) / ROUND;
    const d = along(along([0, 0, 0], Math.cos(angle), first), Math.sin(angle), second);
    least = Math.min(least, view.firstFree(at, d));
  }
  return least;
}
