/**
 * Looks for the best two, three and four directions in which parts leave the bunny of npm `bunny`, cut
 * by planes through its middle, tells what stays undercut, and really moves the parts. Ends with an
 * error where what was said and what came of it are at odds.
 *
 *     npm run check:bunny
 */
import bunny from "bunny";
import { loadKernel } from "../src/dsl/solid/kernel.ts";
import { areaOf } from "../src/dsl/solid/measure.ts";
import { bestSectors, NUDGE, sum } from "../tests/unit/mold/free-sectors.ts";
import type { Mesh } from "../src/dsl/solid/mesh.ts";

/** A part that cuts no more than this comes off, mm³. */
const GRAIN = 0.5;
/** Kernel and facets may tell the first overlap apart by this share: a nudge is short and not nothing. */
const SHARE = 0.05;

/** One of its units to 10 mm, z up. */
const mesh: Mesh = {
  positions: Float64Array.from(
    bunny.positions.flatMap(([x, y, z]) => [10 * x, -10 * z, 10 * y]),
    Math.fround,
  ),
  triangles: Uint32Array.from(bunny.cells.flat()),
};

await loadKernel();
const whole = areaOf(mesh);
const shown = (v: readonly number[]) => `(${v.map((value) => value.toFixed(3)).join(", ")})`;
let odd = 0;
const results: { parts: number; area: number }[] = [];
for (const parts of [2, 3, 4]) {
  const { sectors, found } = bestSectors(mesh, parts);
  const area = sum(found);
  results.push({ parts, area });
  console.log(
    `${parts} parts about ${shown(sectors.axis)}, first plane at ${((sectors.turn * 180) / Math.PI).toFixed(0)}°: ${area.toFixed(0)} mm² undercut, ${((100 * area) / whole).toFixed(1)} % of ${whole.toFixed(0)}`,
  );
  for (const one of found) {
    const holds = one.undercutMm2 > 0 && one.undercutMm >= 0.05;
    const off = Math.abs(one.nudgedMm3 - one.expectedMm3);
    const fits = off <= SHARE * one.expectedMm3 + 0.01 && (holds ? one.cutMm3 > GRAIN : one.cutMm3 <= GRAIN);
    if (!fits) odd++;
    console.log(
      `  along ${shown(one.direction)}: ${one.undercutMm2.toFixed(0)} mm², ${one.undercutMm.toFixed(1)} mm deep; moved ${NUDGE} mm it cuts ${one.nudgedMm3.toFixed(3)} mm³ (by its facets ${one.expectedMm3.toFixed(3)}), at most ${one.cutMm3.toFixed(0)} mm³ on its way${fits ? "" : "  AT ODDS"}`,
    );
  }
}
const best = results.reduce((a, b) => (b.area < a.area ? b : a));
console.log(
  `least with ${best.parts} parts: ${best.area.toFixed(0)} mm²; ${odd} parts at odds with moving them`,
);
if (odd > 0) process.exitCode = 1;
