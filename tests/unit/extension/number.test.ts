import { expect, test } from "vitest";
import { readLiteral, writeNumber } from "../../../src/extension/design/number.ts";

test.each([
  ["96", 96, "96"],
  ["-4.5", -4.5, "-4.5"],
  ["- 3", -3, "- 3"],
  ["(96)", 96, "96"],
  ["1_000.5", 1000.5, "1_000.5"],
  [".5", 0.5, ".5"],
  ["0x1F", 31, "0x1F"],
  ["2e3", 2000, "2e3"],
  ["96 as number", 96, "96"],
  ["(-96)!", -96, "-96"],
])("the number in %s", (text, value, written) => {
  const found = readLiteral(text);
  expect(found?.value).toBe(value);
  expect(text.slice(found?.start, found?.end)).toBe(written);
});

test.each(["", "height", "90 + 6", "--3", "9 6", "[96]", "`96`", "96px"])(
  "“%s” is no number literal",
  (text) => expect(readLiteral(text)).toBeUndefined(),
);

test.each([
  [96.4, { min: 60, max: 140, step: 1 }, "96"],
  [96.26, { min: 60, max: 140, step: 0.1 }, "96.3"],
  [0.1 + 0.2, { min: 0, max: 1, step: 0.1 }, "0.3"],
  [200, { min: 60, max: 140, step: 1 }, "140"],
  [-200, { min: -60, max: 140, step: 1 }, "-60"],
  [0.0001, { min: -1, max: 1, step: 0.5 }, "0"],
  [-0.0001, { min: -1, max: 1, step: 0.5 }, "0"],
  [0.127, { min: 0.002, max: 0.2, step: 0.005 }, "0.127"],
  [1e-7, { min: 0, max: 1, step: 1e-7 }, "1e-7"],
])("%s within %o is written %s", (value, range, text) => {
  expect(writeNumber(value, range)).toBe(text);
});
