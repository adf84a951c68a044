import type { Grid } from "./grid.ts";
import { erode, type Shell } from "./shell.ts";

/** Room inside the slab, wet, mm³, filled to the brim, or to `level` mm above the board. */
export function insideVolume(grid: Grid, slab: number, baseSlab: number, level = Infinity): number {
  if (slab >= grid.form.height || baseSlab >= grid.form.height) return 0;
  const inside = erode(grid, slab);
  const areas = inside.rows.map((row) => ringArea(row.angles, row.radii));
  let volume = 0;
  for (let j = 0; j + 1 < grid.zs.length; j++) {
    const [low, high] = [grid.zs[j], grid.zs[j + 1]];
    const bottom = Math.max(low, baseSlab);
    const top = Math.min(high, level);
    if (top <= bottom) continue;
    // The similar section at the base's surface or the fill line: lengths are linear between two rows.
    const areaAt = (z: number) => {
      const share = (z - low) / (high - low);
      return (Math.sqrt(areas[j]) * (1 - share) + Math.sqrt(areas[j + 1]) * share) ** 2;
    };
    const from = areaAt(bottom);
    const to = areaAt(top);
    volume += ((top - bottom) / 3) * (from + Math.sqrt(from * to) + to);
  }
  return volume;
}

function ringArea(angles: Float64Array, radii: Float64Array): number {
  let twice = 0;
  for (let i = 0; i < angles.length; i++) {
    const k = (i + 1) % angles.length;
    twice += radii[i] * radii[k] * Math.sin(angles[k] - angles[i]);
  }
  return twice / 2;
}

/** Narrowest way in between the mouth and a depth, wet, inside the slab: twice the least radius, mm. */
export function narrowestOpening(grid: Grid, inside: Shell, fromZ: number): number {
  let least = Infinity;
  inside.rows.forEach((row, j) => {
    if (grid.zs[j] >= fromZ) for (const radius of row.radii) least = Math.min(least, radius);
  });
  return 2 * least;
}
