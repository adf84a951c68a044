import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import type { BuildResult } from "../../../shared/engine.ts";
import { EngineHost, type EngineFault } from "../../../src/dsl/engine/host.ts";
import { randomFrom } from "../leaving/random.ts";
import { endless, mutations } from "./mutations.ts";
import { realEngine, request } from "./real.ts";

const SEED = 20263;
const EDITS = 100;
/** Edits after which a loop without end comes, each killing the process; memory is looked at later. */
const LOOPS = [7, 19, 31];

const root = join(import.meta.dirname, "../../..");
const texts = ["octagon-beaker", "tasting-dish"].map((name) =>
  readFileSync(join(root, "examples", `${name}.mold.ts`), "utf8"),
);

const faults: EngineFault[] = [];
const lines: string[] = [];
const host = new EngineHost({
  enginePath: join(root, "src/dsl/engine/child.ts"),
  timeLimitS: 2,
  onLog: (more) => lines.push(...more),
  onFault: (fault) => faults.push(fault),
});
afterAll(() => host.dispose());

const rssMB = () =>
  Number(execFileSync("ps", ["-o", "rss=", "-p", String(host.processes.active)], { encoding: "utf8" })) /
  1024;

const median = (values: readonly number[]) => values.toSorted((a, b) => a - b)[values.length >> 1];

/** What was asked for, without how long it took. */
const answer = (result: BuildResult) => ({ ...result, timings: {} });

test(`${EDITS} random edits, seed ${SEED}: each is answered as a fresh engine answers it, and memory stays flat`, async () => {
  const random = randomFrom(SEED);
  const kinds = Object.keys(mutations);
  const memory: number[] = [];
  const outcomes = { molds: 0, problems: 0, stopped: 0 };
  let text = texts[0];
  for (let edit = 0; edit < EDITS; edit++) {
    // Every so often the maker takes everything back.
    if (random() < 0.35) text = texts[Math.floor(random() * texts.length)];
    const kind = kinds[Math.floor(random() * kinds.length)];
    text = mutations[kind](text, random);
    const title = `edit ${edit}, ${kind}:\n${text}`;
    const ask = (of: string) => host.build(request(of, {}, { fixes: edit % 10 === 0 }));
    if (LOOPS.includes(edit)) {
      const { problem } = await ask(endless(texts[0]));
      expect(problem?.code, title).toBe("time-limit");
      outcomes.stopped++;
    }
    const result = await ask(text);
    const fresh = await realEngine().build(request(text, {}, { fixes: edit % 10 === 0 }));
    expect(answer(result), title).toEqual(answer(fresh));
    if (result.problem) outcomes.problems++;
    else outcomes.molds++;
    memory.push(rssMB());
  }
  expect(faults).toEqual([]);
  expect(outcomes.stopped).toBe(LOOPS.length);
  expect(outcomes.molds).toBeGreaterThan(15);
  expect(outcomes.problems).toBeGreaterThan(15);
  // 5000 lines of a flood are 200 and a count.
  expect(lines.length).toBeLessThan(EDITS * 202);
  const before = median(memory.slice(50, 70));
  const after = median(memory.slice(80));
  expect(after, `RSS ${before.toFixed(0)} → ${after.toFixed(0)} MB`).toBeLessThan(1.2 * before);
  expect((await host.build(request(texts[0]))).problem).toBeUndefined();
}, 600_000);
