/**
 * 500 random edits of `octagon-beaker` in a browser-hosted VS Code, garbage among them, and what the
 * engine's memory does. Exits 1 when it grows by more than 20 % after the first 100 edits, or when
 * the picture is not that of the text.
 *
 *   node scripts/bench-soak.ts [--edits 500] [--seed 5]
 */
import { parseArgs } from "node:util";
import type { SoakLine } from "../tests/host/bench/soak.ts";
import { benchInHost } from "./bench-host.ts";

const { values } = parseArgs({
  options: { edits: { type: "string", default: "500" }, seed: { type: "string", default: "5" } },
});
const rows: SoakLine[] = [];
await benchInHost<SoakLine>(
  "bench-soak",
  "tests/host/bench/soak.ts",
  { SLABWRIGHT_SOAK_EDITS: values.edits, SLABWRIGHT_TEST_SEED: values.seed },
  (line) => void rows.push(line),
);

const median = (list: number[]) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)] ?? NaN;
const between = (from: number, to: number) => rows.filter(({ edits }) => edits > from && edits <= to);
console.log("edits        engine MB   extension host MB   (medians of 10 readings)");
const last = rows.at(-1)?.edits ?? 0;
for (let to = 100; to <= last; to += 100) {
  const part = between(to - 100, to);
  const engine = median(part.map(({ engineMB }) => engineMB)).toFixed(0);
  const host = median(part.map(({ hostMB }) => hostMB)).toFixed(0);
  console.log(`${`${to - 99}–${to}`.padEnd(12)}${engine.padStart(10)}${host.padStart(20)}`);
}
const warm = median(between(100, 200).map(({ engineMB }) => engineMB));
const end = median(between(last - 100, last).map(({ engineMB }) => engineMB));
const flat = end <= 1.2 * warm;
console.log(
  `seed ${values.seed}: engine ${warm.toFixed(0)} MB after warm-up, ${end.toFixed(0)} MB at the end: ${flat ? "flat" : "it grows"}`,
);
process.exitCode = flat && last > 0 ? 0 : 1;
