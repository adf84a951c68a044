/**
 * Compares what is said of each part of 300 random lofts with really drawing the exported solids
 * along their pulls. Ends with an error when the two are at odds anywhere.
 *
 *     npm run check:pulls               all of them: about ten minutes
 *     npm run check:pulls -- 1 20       lofts 1 to 20
 */
import { loadKernel } from "../src/dsl/solid/kernel.ts";
import { drawParts, isAtOdds } from "../tests/unit/mold/drawn.ts";
import { keyBoolean } from "../tests/unit/mold/key-booleans.ts";
import { randomLoft } from "../tests/unit/mold/random-loft.ts";
import { build } from "../tests/unit/mold/samples.ts";

/** Pegs and sockets on flat and helicoid seam faces that are looked at after the lofts. */
const KEYS = 500;

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

let keys = 0;
let spoilt = 0;
for (let seed = 1; seed <= KEYS; seed++) {
  const found = keyBoolean(seed);
  if (!found) continue;
  keys++;
  if (found.faults.length === 0 && found.offBy < 1e-3) continue;
  spoilt++;
  console.log(`key ${seed}: ${JSON.stringify(found)}`);
}
console.log(`${KEYS} keys, ${keys} of them high enough to be used: ${spoilt} with faults`);
if (odd > 0 || spoilt > 0) process.exitCode = 1;
