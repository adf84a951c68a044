import type { SeamTrial } from "./seam-trial.ts";

/** Points that differ by less than this share of the radius are the same. */
const SAME = 1e-6;
/** Orders looked for; a form that has all of the last three is round. */
const ORDERS = [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 18, 20, 24];
const ROUND = [11, 13, 7];

/**
 * Into how many equal turns the form can be turned about its axis so that it falls onto itself: 1 for
 * none, Infinity for a round form. A leaning form has none.
 */
export function turnSymmetry(trial: SeamTrial): number {
  const { form, zs, centreX, centreY } = trial;
  if (
    centreX.some((x) => Math.abs(x - centreX[0]) > SAME) ||
    centreY.some((y) => Math.abs(y - centreY[0]) > SAME)
  )
    return 1;
  const rows = [0, zs.length >> 1, zs.length - 1];
  const points = 19;
  const turned = (order: number): boolean => {
    const [cos, sin] = [Math.cos((2 * Math.PI) / order), Math.sin((2 * Math.PI) / order)];
    for (let k = 0; k < points; k++) {
      const here = form.column(k / points);
      const there = form.column((k / points + 1 / order) % 1);
      for (const j of rows) {
        const p = here.at(zs[j]);
        const q = there.at(zs[j]);
        const [x, y] = [p.x - centreX[j], p.y - centreY[j]];
        const away = Math.hypot(
          cos * x - sin * y - (q.x - centreX[j]),
          sin * x + cos * y - (q.y - centreY[j]),
        );
        if (away > SAME * Math.hypot(x, y)) return false;
      }
    }
    return true;
  };
  if (ROUND.every(turned)) return Infinity;
  return Math.max(1, ...ORDERS.filter(turned));
}
