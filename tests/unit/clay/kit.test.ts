import { describe, expect, test } from "vitest";
import { CLAY_DEFAULTS, clay, type ClayOptions } from "../../../src/dsl/kit/clay.ts";
import { KitError } from "../../../src/dsl/kit/error.ts";
import { SILENT, withRecorder } from "../../../src/dsl/kit/record.ts";

function fault(options: unknown): KitError {
  try {
    clay(options as ClayOptions);
  } catch (error) {
    if (error instanceof KitError) return error;
    throw error;
  }
  throw new Error("clay(…) took it");
}

describe("the three ways to say a shrinkage", () => {
  test("clay({ name, total })", () => {
    expect(clay({ name: "stoneware", total: 0.125 })).toMatchObject({
      name: "stoneware",
      total: 0.125,
      thickness: 0.125,
      drying: null,
      firing: null,
      n: null,
      se: null,
    });
  });

  test("clay({ name, drying, firing }) compounds", () => {
    const { total, drying } = clay({ name: "stoneware", drying: 0.061, firing: 0.0670926517571885 });
    expect(total).toBeCloseTo(0.124, 12);
    expect(drying).toBe(0.061);
  });

  test("clay({ name, bars }) takes the mean, and the drying of the bars that have it", () => {
    const made = clay({
      name: "stoneware",
      bars: [
        { wet: 100, dry: 94, fired: 88.1 },
        { wet: 100, dry: 93, fired: 87.8 },
        { wet: 100, fired: 88.3 },
        { wet: 100, fired: 87.9 },
        { wet: 100, fired: 88.2 },
      ],
    });
    expect(made.n).toBe(5);
    expect(made.total).toBeCloseTo(0.1194, 12);
    expect(made.sd! * 100).toBeCloseTo(0.20736, 5);
    expect(made.se! * 100).toBeCloseTo(0.09274, 5);
    expect(made.drying).toBeCloseTo(0.065, 12);
    expect((1 - made.drying!) * (1 - made.firing!)).toBeCloseTo(1 - made.total, 12);
  });
});

test("the defaults", () => {
  expect(CLAY_DEFAULTS).toEqual({ water: 0.22, loi: 0.07, release: 0.4 });
  expect(clay({ name: "a", total: 0 })).toMatchObject(CLAY_DEFAULTS);
  expect(clay({ name: "a", total: 0.1, thickness: 0.13, release: 0.5 })).toMatchObject({
    thickness: 0.13,
    release: 0.5,
  });
});

test("the call is recorded before anything is checked, and the clay is frozen", () => {
  const names: string[] = [];
  const made = withRecorder({ ...SILENT, call: (name) => names.push(name) + 6 }, () =>
    clay({ name: "a", total: 0.1 }),
  );
  expect(names).toEqual(["clay"]);
  expect(made.call).toBe(7);
  expect(Object.isFrozen(made)).toBe(true);
});

describe("misuse", () => {
  test.each([
    [{ name: "a", total: 12.5 }, "kit-looks-like-percent", "0.125", ["total"]],
    [{ name: "a", drying: 6, firing: 7 }, "kit-looks-like-percent", "0.06", ["drying"]],
    [{ name: "a", total: 0.12, release: 40 }, "kit-looks-like-percent", "0.4", ["release"]],
    [{ name: "a", total: 0.12, water: 22 }, "kit-looks-like-percent", "0.22", ["water"]],
    [{ name: "a", total: 0.3 }, "kit-out-of-range", "below 0.3", ["total"]],
    [{ name: "a", total: -0.01 }, "kit-out-of-range", "at least 0", ["total"]],
    [{ name: "a", total: 45 }, "kit-out-of-range", "below 0.3", ["total"]],
    [{ name: "a", total: NaN }, "kit-not-a-number", "NaN", ["total"]],
    [{ name: "a", total: "12 %" }, "kit-not-a-number", "“12 %”", ["total"]],
    [{ name: "a" }, "kit-conflict", "nothing of shrinkage", []],
    [{ name: "a", total: 0.1, drying: 0.05, firing: 0.05 }, "kit-conflict", "more than once", []],
    [{ name: "a", drying: 0.05 }, "kit-missing", "firing", ["firing"]],
    [{ name: "a", drying: 0.2, firing: 0.2 }, "kit-conflict", "0.360", []],
    [{ total: 0.1 }, "kit-missing", "name", ["name"]],
    [{ name: 7, total: 0.1 }, "kit-wrong-type", "name", ["name"]],
    [{ name: "a", totl: 0.1 }, "kit-unknown-key", "totl", ["totl"]],
    [{ name: "a", bars: [] }, "kit-wrong-type", "bars", ["bars"]],
    [{ name: "a", bars: [{ wet: 100 }] }, "kit-missing", "bars.0.fired", ["bars", "0", "fired"]],
    [
      {
        name: "a",
        bars: [
          { wet: 100, fired: 88 },
          { wet: 88, fired: 100 },
        ],
      },
      "kit-conflict",
      "bar 2",
      ["bars", "1"],
    ],
    [
      { name: "a", bars: [{ wet: 100, fried: 88 }] },
      "kit-unknown-key",
      "bars.0.fried",
      ["bars", "0", "fried"],
    ],
  ])("%j → %s, %s", (options, code, words, path) => {
    const error = fault(options);
    expect(error.code).toBe(code);
    expect(error.message).toContain(words);
    expect(error.message).toMatch(/^clay: /);
    expect(error.target).toMatchObject({ call: -1, argument: 0, path });
  });
});
