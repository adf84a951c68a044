import { along, squareTo, unit, type Vec3 } from "./vector.ts";

/** So many ways are gone at each size of step; the next size looks between them. */
const WAYS = 4;

/**
 * From a direction to better ones near by, in steps of these sizes, degrees; the first way that helps is gone on with.
 *
 * @param better what there is about a wanted direction, if that is better than the best so far
 */
export function walk<T extends { direction: Vec3 }>(
  start: T,
  steps: readonly number[],
  better: (wanted: Vec3, best: T, step: number) => T | null,
): T {
  let best = start;
  steps.forEach((step, k) => {
    const size = Math.tan((step * Math.PI) / 180);
    for (let failed = 0, way = 0; failed < WAYS;) {
      const [first, second] = squareTo(best.direction);
      const angle = (2 * Math.PI * (way + (k % 2) / 2)) / WAYS;
      const aside = along(best.direction, size * Math.cos(angle), first);
      const next = better(unit(along(aside, size * Math.sin(angle), second))!, best, step);
      if (next) {
        best = next;
        failed = 0;
      } else {
        failed++;
        way = (way + 1) % WAYS;
      }
    }
  });
  return best;
}
