import type { Form } from "./form.ts";

const COLUMNS = 96;

/**
 * The greatest angle between a level ray from the centre and the outline's outward normal, over
 * the sections and between them, degrees: up to 80 each level section is star-shaped enough to be
 * meshed along its rays.
 */
export function formStarAngle(form: Form): number {
  const step = 1 / Math.max(COLUMNS, Math.ceil(2 / form.longestStep));
  const us: number[] = [];
  for (let u = step / 2; u < 1; u += step) us.push(u);
  const levels = form.zs.flatMap((z, k) => {
    const next = form.zs[k + 1];
    return next === undefined ? [z] : [0, 0.25, 0.5, 0.75].map((share) => z + share * (next - z));
  });
  let worst = 0;
  for (const u of us) {
    const column = form.column(u);
    for (const z of levels) {
      const p = column.at(z);
      const c = form.centre(z);
      const x = p.x - c.x;
      const y = p.y - c.y;
      const length = Math.hypot(p.ux, p.uy);
      if (length === 0) continue;
      const across = x * p.uy - y * p.ux;
      const along = x * p.ux + y * p.uy;
      worst = Math.max(worst, Math.atan2(Math.abs(along), across));
    }
  }
  return (worst * 180) / Math.PI;
}
