import { LEAST_RING } from "../kit/split.ts";
import type { BuiltMold } from "./build.ts";
import { openRings } from "./opening.ts";
import { between } from "./rings.ts";
import type { SeamFace } from "./seam-face.ts";
import { drawSeams } from "./seams.ts";

/** A cross seam and the undercut that it leaves, mm². */
export interface LevelAdvice {
  /** Height of the seam, mm, fired. */
  value: number;
  undercutMm2: number;
}

/** Heights between sections at which a cross seam is tried too: parts of the way. */
const SHARES = [1 / 4, 1 / 2, 3 / 4];

/**
 * Heights worth a cross seam, mm, fired, whole: those of the sections, where a form changes its way,
 * and some between them; none too near the ends for a ring.
 *
 * @param sections heights of the body's sections, rising
 */
export function crossLevels(sections: readonly number[]): number[] {
  const height = sections[sections.length - 1];
  const all = sections.flatMap((z, i) => {
    const next = sections[i + 1] ?? z;
    return [z, ...SHARES.map((share) => z + share * (next - z))];
  });
  const whole = all.map((z) => Math.round(z)).filter((z) => z >= LEAST_RING && z <= height - LEAST_RING);
  return [...new Set(whole)].sort((a, b) => a - b);
}

/** The one cross seam that leaves the least undercut where the upright seams stay as they are; null where there is none to try. */
export function adviseLevel({ spec, scale, grid, seams, clay }: BuiltMold): LevelAdvice | null {
  if (!grid || seams.length < 2 || spec.seams.levels.length > 0) return null;
  let best: LevelAdvice | null = null;
  for (const value of crossLevels(spec.body.sections.map(({ z }) => z))) {
    const z = value * scale.cavity;
    const row = grid.zs.reduce((at, own, j) => (Math.abs(own - z) < Math.abs(grid.zs[at] - z) ? j : at), 0);
    if (row === 0 || row === grid.zs.length - 1) continue;
    const rings = [between(grid, 0, row), between(grid, row, grid.zs.length - 1)].map((own) => {
      const lines = drawSeams(own, seams);
      const none = { mesh: { positions: new Float64Array(0), triangles: new Uint32Array(0) }, runs: [] };
      return {
        grid: own,
        seams: lines,
        faces: lines.map((line) => faceThrough(line, own.zs)),
        walls: lines.map((_, i) => ({ name: String(i), ...none })),
      };
    });
    // By the parts of both rings, each under its own name.
    rings[1].walls.forEach((wall) => (wall.name = `over ${wall.name}`));
    const { undercuts } = openRings(rings, { floor: null, clay, spec });
    const undercutMm2 = undercuts.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
    if (!best || undercutMm2 < best.undercutMm2) best = { value, undercutMm2 };
  }
  return best;
}

/** A seam face no wider than it takes to have a direction. */
function faceThrough(
  line: { x: Float64Array; y: Float64Array; dirX: Float64Array; dirY: Float64Array },
  zs: readonly number[],
): SeamFace {
  const points = zs.map((z, j) => [
    { x: line.x[j], y: line.y[j], z },
    { x: line.x[j] + 10 * line.dirX[j], y: line.y[j] + 10 * line.dirY[j], z },
  ]);
  return { points, hollow: points, proud: points, cells: [] };
}
