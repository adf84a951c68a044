/**
 * Compares what is said of each part of 300 random lofts with really drawing the exported solids
 * along their pulls. Ends with an error when the two are at odds anywhere.
 *
 *     npm run check:pulls               all of them: about half an hour
 *     npm run check:pulls -- 1 20       lofts 1 to 20
 */
import { loadKernel } from "../src/dsl/solid/kernel.ts";
import { drawParts, isAtOdds } from "../tests/unit/mold/drawn.ts";
import { randomLoft } from "../tests/unit/mold/random-loft.ts";
import { build } from "../tests/unit/mold/samples.ts";

const [from = 1, to = 300] = process.argv.slice(2).map(Number);
await loadKernel();
const counts = { free: 0, held: 0, shallow: 0 };
let odd = 0;
for (let seed = from; seed <= to; seed++) {
  const start = performance.now();
  const drawn = drawParts(build(randomLoft(seed)));
  for (const one of drawn) {
    counts[one.says]++;
    if (!isAtOdds(one)) continue;
    odd++;
    console.log(
      `seed ${seed}: ${one.part} is said to be ${one.says} against the ${one.against} (${one.by.toFixed(3)}) and cuts ${one.cutMm3.toFixed(2)} mm³ after ${one.after} mm`,
    );
  }
  const held = drawn.filter(({ says }) => says === "held").length;
  console.log(
    `seed ${seed}: ${drawn.length} verdicts, ${held} held; ${((performance.now() - start) / 1000).toFixed(1)} s`,
  );
}
console.log(
  `${to - from + 1} lofts: ${counts.free} verdicts of free, ${counts.held} of held, ${counts.shallow} too shallow to tell; ${odd} at odds with what came of drawing the part`,
);
if (odd > 0) process.exitCode = 1;
