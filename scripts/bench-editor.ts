/**
 * How long the picture takes after a key, in a browser-hosted VS Code: real keys, one digit of the
 * height of `octagon-beaker`, at rest before each. The floor is the same run's empty update: a letter
 * of a comment, for which nothing is sent. Compares with the targets and exits 1 when one is missed.
 *
 *   node scripts/bench-editor.ts [--keys 30] [--design octagon-beaker.mold.ts]
 */
import type { Page } from "playwright-core";
import { loadavg } from "node:os";
import { parseArgs } from "node:util";
import type { Painted } from "../src/extension/panel/painted.ts";
import type { BenchLine } from "../tests/host/bench/editor.ts";
import { benchInHost } from "./bench-host.ts";

const { values } = parseArgs({
  options: {
    keys: { type: "string", default: "30" },
    design: { type: "string", default: "octagon-beaker.mold.ts" },
  },
});

interface Sample {
  /** ms from the key to the change in the extension host. */
  key: number;
  painted: Painted;
}
const samples: Record<"coarse" | "empty" | "fine", Sample[]> = { coarse: [], empty: [], fine: [] };
let pressed = 0;

/** Presses a key; the page itself says when it heard of it, milliseconds since 1970. */
async function press(page: Page, key: string): Promise<number> {
  const heard = page.evaluate(
    () =>
      new Promise<number>((resolve) =>
        window.addEventListener("keydown", () => resolve(performance.timeOrigin + performance.now()), {
          capture: true,
          once: true,
        }),
      ),
  );
  // The listener is there once another word has gone to and fro.
  await page.evaluate(() => undefined);
  await page.keyboard.press(key);
  return heard;
}

const loads = [loadavg()[0]];
await benchInHost<BenchLine>(
  "bench-editor",
  "tests/host/bench/editor.ts",
  { SLABWRIGHT_BENCH_KEYS: values.keys, SLABWRIGHT_BENCH_DESIGN: values.design },
  async (line, page) => {
    if ("press" in line) pressed = await press(page, line.press);
    else samples[line.kind].push({ key: line.touched - pressed, painted: line.painted });
  },
);
loads.push(loadavg()[0]);

const share = (list: number[], part: number) =>
  [...list].sort((a, b) => a - b)[Math.min(list.length - 1, Math.floor(part * list.length))] ?? NaN;
const typed = (sample: Sample) => sample.key + sample.painted.stages.total;
const column = (list: number[]) =>
  `${share(list, 0.5).toFixed(0).padStart(8)}${share(list, 0.9).toFixed(0).padStart(8)}`;

const stages: [string, (sample: Sample) => number][] = [
  ["keystroke to ask", ({ key, painted }) => key + painted.stages.ask],
  ["engine", ({ painted }) => painted.stages.engine],
  ["  of it the design", ({ painted }) => painted.stages.evaluate],
  ["  of it our work", ({ painted }) => painted.stages.compute],
  ["page not free", ({ painted }) => painted.stages.wait],
  ["transfer", ({ painted }) => painted.stages.transfer],
  ["page takes", ({ painted }) => painted.stages.take],
  ["paint", ({ painted }) => painted.stages.paint],
  ["typed to painted", typed],
];
console.log(
  `${values.design}: ${samples.coarse.length} keys, load ${loads.map((one) => one.toFixed(1)).join(" to ")}`,
);
console.log(
  `${"".padEnd(22)}${"coarse".padStart(12)}${"empty".padStart(16)}\n${"ms".padEnd(22)}${"  median     90%  median     90%"}`,
);
for (const [name, read] of stages) {
  console.log(`${name.padEnd(22)}${column(samples.coarse.map(read))}${column(samples.empty.map(read))}`);
}
for (const kind of ["coarse", "empty", "fine"] as const) {
  const bytes = share(
    samples[kind].map(({ painted }) => painted.bytes),
    0.5,
  );
  const triangles = share(
    samples[kind].map(({ painted }) => painted.triangles),
    0.5,
  );
  console.log(`${kind.padEnd(8)}${(bytes / 1000).toFixed(0).padStart(6)} kB  ${triangles} triangles`);
}

const floor = share(samples.empty.map(typed), 0.5);
const median = share(samples.coarse.map(typed), 0.5);
const late = share(samples.coarse.map(typed), 0.9);
const engine = share(
  samples.coarse.map(({ painted }) => painted.stages.evaluate + painted.stages.compute),
  0.5,
);
const bytes = Math.max(...samples.coarse.map(({ painted }) => painted.bytes));
const targets: [string, number, number][] = [
  ["ours minus floor, ms", median - floor, 200],
  ["painted, median ms", median, 400],
  ["painted, 90 % ms", late, 550],
  ["engine, median ms", engine, 80],
  ["coarse, most bytes", bytes, 100_000],
  ["coarse, triangles", Math.max(...samples.coarse.map(({ painted }) => painted.triangles)), 12_000],
  ["fine, most bytes", Math.max(...samples.fine.map(({ painted }) => painted.bytes)), 2_000_000],
];
console.log(`floor ${floor.toFixed(0)} ms`);
let missed = 0;
for (const [name, value, target] of targets) {
  const met = value <= target;
  if (!met) missed++;
  console.log(`${met ? "met   " : "missed"}  ${name.padEnd(22)} ${value.toFixed(0)} of ${target}`);
}
process.exitCode = missed > 0 ? 1 : 0;
