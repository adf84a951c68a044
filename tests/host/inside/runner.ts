import { report } from "./report.ts";

interface Test {
  name: string;
  body: () => Promise<void>;
  limitMs: number;
}

const tests: Test[] = [];

/** Multiplies every time limit, on a machine that has other work. */
const patience = Number(process.env.SLABWRIGHT_TEST_PATIENCE ?? 1);

/** Adds a test. They run one after another, in the order in which they were added. */
export function test(name: string, body: () => Promise<void>, limitMs = 60_000): void {
  tests.push({ name, body, limitMs });
}

const tidying: (() => Promise<void>)[] = [];

/** Runs after each test, however it ended. */
export function afterEach(tidy: () => Promise<void>): void {
  tidying.push(tidy);
}

/**
 * Runs every test with a time limit each. Hands one JSON line a test to the file named by
 * `SLABWRIGHT_TEST_REPORT` where the run is watched from outside, and rejects when any failed.
 * `SLABWRIGHT_TEST_ONLY` picks the tests whose name holds it, or one of several with | between. `SLABWRIGHT_TEST_PATIENCE` multiplies
 * the limits.
 */
export async function runTests(): Promise<void> {
  const failures: string[] = [];
  const only = (process.env.SLABWRIGHT_TEST_ONLY ?? "").split("|");
  const chosen = tests.filter(({ name }) => only.some((part) => name.includes(part)));
  for (const { name, body, limitMs } of chosen) {
    const start = performance.now();
    let error: string | undefined;
    const fail = (caught: unknown) => {
      error ??= caught instanceof Error ? (caught.stack ?? caught.message) : String(caught);
    };
    let timer: NodeJS.Timeout | undefined;
    try {
      const late = new Promise<never>((_, reject) => {
        const late = new Error(`not done within ${(patience * limitMs) / 1000} s`);
        timer = setTimeout(() => reject(late), patience * limitMs);
      });
      await Promise.race([body(), late]);
    } catch (caught) {
      fail(caught);
    }
    clearTimeout(timer);
    for (const tidy of tidying) await tidy().catch(fail);
    if (error !== undefined) failures.push(name);
    report({ name, error, milliseconds: performance.now() - start });
  }
  if (failures.length > 0) throw new Error(`${failures.length} failed: ${failures.join("; ")}`);
}

/** Waits until `probe` gives something else than undefined or false. `what` completes "waited in vain until …". */
export async function until<T>(
  what: string,
  probe: () => T | undefined | false | Promise<T | undefined | false>,
  limitMs = 30_000,
): Promise<T> {
  const end = performance.now() + patience * limitMs;
  for (;;) {
    const value = await probe();
    if (value !== undefined && value !== false) return value;
    if (performance.now() > end)
      throw new Error(`waited ${(patience * limitMs) / 1000} s in vain until ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}
