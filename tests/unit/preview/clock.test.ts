import { beforeEach, describe, expect, test } from "vitest";
import { Clock, type Ticker } from "../../../src/preview/ui/clock.ts";

/** Time that the test turns by hand. */
class HandTicker implements Ticker {
  now = 0;
  #due: { at: number; tick: (now: number) => void }[] = [];

  frame(tick: (now: number) => void): () => void {
    return this.#add(this.now + 16, tick);
  }

  later(tick: () => void, milliseconds: number): () => void {
    return this.#add(this.now + milliseconds, tick);
  }

  get idle(): boolean {
    return this.#due.length === 0;
  }

  run(milliseconds: number): void {
    const end = this.now + milliseconds;
    for (;;) {
      const next = this.#due.sort((a, b) => a.at - b.at)[0];
      if (next === undefined || next.at > end) break;
      this.#due.shift();
      this.now = next.at;
      next.tick(this.now);
    }
    this.now = end;
  }

  #add(at: number, tick: (now: number) => void): () => void {
    const one = { at, tick };
    this.#due.push(one);
    return () => (this.#due = this.#due.filter((other) => other !== one));
  }
}

let ticker: HandTicker;
let shown: number[];
let still: boolean;
let clock: Clock;

beforeEach(() => {
  ticker = new HandTicker();
  shown = [];
  still = false;
  clock = new Clock(
    (position) => shown.push(position),
    () => still,
    ticker,
  );
  clock.count = 3;
});

describe("the clock of the opening", () => {
  test("plays through every whole move, never backwards, and stands at the end", () => {
    clock.play();
    expect(clock.playing).toBe(true);
    ticker.run(20_000);
    expect(clock.playing).toBe(false);
    expect(clock.position).toBe(3);
    for (const whole of [1, 2, 3]) expect(shown).toContain(whole);
    expect(shown.every((position, i) => i === 0 || position >= shown[i - 1])).toBe(true);
    expect(shown.some((position) => position > 0.3 && position < 0.7)).toBe(true);
    expect(ticker.idle).toBe(true);
  });

  test("begins anew when it is played at the end", () => {
    clock.put(3);
    clock.play();
    ticker.run(200);
    expect(clock.position).toBeLessThan(1);
  });

  test("rests on a whole move before the next", () => {
    clock.play();
    ticker.run(20_000);
    const resting = shown.filter((position) => position === 1).length;
    // 450 ms in frames of 16 ms.
    expect(resting).toBeGreaterThan(20);
  });

  test.each([
    ["from between, to the next whole move", 1.4, 1, 2],
    ["from a whole move, to the one after", 1, 1, 2],
    ["back from between", 1.4, -1, 1],
    ["back from a whole move", 1, -1, 0],
    ["not beyond the end", 3, 1, 3],
    ["not before the beginning", 0, -1, 0],
  ] as const)("steps %s", (_, from, way, to) => {
    clock.put(from);
    clock.step(way);
    ticker.run(5000);
    expect(clock.position).toBe(to);
    expect(ticker.idle).toBe(true);
  });

  test("a second step while the first is under way goes one further", () => {
    clock.step(1);
    ticker.run(100);
    clock.step(1);
    ticker.run(10_000);
    expect(clock.position).toBe(2);
  });

  test("stands where it is put, to the last digit that can be seen", () => {
    for (const position of [0, 0.1, 0.37, 0.5, 0.99, 1, 2.25, 3]) {
      clock.put(position);
      expect(clock.position).toBeCloseTo(position, 12);
    }
    clock.put(7);
    expect(clock.position).toBe(3);
    clock.put(-1);
    expect(clock.position).toBe(0);
  });

  test("holds where it is", () => {
    clock.play();
    ticker.run(400);
    clock.hold();
    const held = clock.position;
    ticker.run(5000);
    expect(clock.position).toBe(held);
    expect(held).toBeGreaterThan(0);
  });

  test("without motion only whole moves are ever seen", () => {
    still = true;
    clock.play();
    ticker.run(20_000);
    expect(clock.position).toBe(3);
    clock.step(-1);
    expect(clock.position).toBe(2);
    expect(shown.every(Number.isInteger)).toBe(true);
  });

  test("fewer moves bring it back to the end of them", () => {
    clock.put(3);
    clock.count = 1;
    expect(clock.position).toBe(1);
    clock.count = 0;
    clock.play();
    expect(clock.playing).toBe(false);
    expect(ticker.idle).toBe(true);
  });

  test("a frame that comes late does not make it leap", () => {
    const late: Ticker = {
      ...ticker,
      frame: (tick) => ticker.frame(() => tick((ticker.now += 2000))),
      later: (tick, ms) => ticker.later(tick, ms),
    };
    const slow = new Clock(
      (position) => shown.push(position),
      () => false,
      late,
    );
    slow.count = 1;
    slow.play();
    ticker.run(60_000);
    const steps = shown.slice(1).map((position, i) => position - shown[i]);
    expect(Math.max(...steps)).toBeLessThan(0.5);
    expect(slow.position).toBe(1);
  });
});
