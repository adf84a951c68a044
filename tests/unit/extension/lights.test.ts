import { expect, test } from "vitest";
import type { CallView } from "../../../shared/engine.ts";
import type { Place } from "../../../shared/place.ts";
import { lightsAt } from "../../../src/extension/panel/lights.ts";

/** The place of a text on one line, file `f`. */
function at(line: number, text: string, part: string, file = "f"): Place {
  const column = text.indexOf(part) + 1;
  return { file, line, column, endLine: line, endColumn: column + part.length };
}

const code = "export default mold(shrink(pot, 0.1), { keys: key({ size: 8 }) });";
const helper = "const ring = (d) => profile.circle({ diameter: d }).at(0);";
const mold = code.slice(15, -1);
const calls: CallView[] = [
  {
    call: 0,
    name: "profile.circle",
    chain: [at(1, helper, "profile.circle({ diameter: d })"), at(2, "a = ring(60)", "ring(60)")],
    lights: [9],
  },
  {
    call: 1,
    name: "profile.circle",
    chain: [at(1, helper, "profile.circle({ diameter: d })"), at(3, "b = ring(80)", "ring(80)")],
    lights: [10],
  },
  { call: 5, name: "shrink", chain: [at(4, code, "shrink(pot, 0.1)")], lights: [7] },
  { call: 6, name: "key", chain: [at(4, code, "key({ size: 8 })")], lights: [6] },
  { call: 7, name: "mold", chain: [at(4, code, mold)], lights: [7] },
];
const lit = (line: number, text: string, word: string) => lightsAt(calls, "f", line, text.indexOf(word) + 1);

test("the innermost call counts", () => {
  expect(lit(4, code, "size: 8")).toEqual([6]);
  expect(lit(4, code, "pot")).toEqual([7]);
  expect(lit(4, code, "keys:")).toEqual([7]);
});

test("a cursor at either end of a call is in it", () => {
  expect(lit(4, code, "key({")).toEqual([6]);
  expect(lightsAt(calls, "f", 4, code.indexOf("key({ size: 8 })") + 1 + "key({ size: 8 })".length)).toEqual([
    6,
  ]);
});

test("in a helper everything that it made lights up, at a call of it what that call made", () => {
  expect(lit(1, helper, "diameter")).toEqual([9, 10]);
  expect(lit(2, "a = ring(60)", "60")).toEqual([9]);
  expect(lit(3, "b = ring(80)", "80")).toEqual([10]);
});

test("outside of calls and in other files nothing does", () => {
  expect(lit(4, code, "default")).toEqual([]);
  expect(lightsAt(calls, "g", 4, code.indexOf("size"))).toEqual([]);
});
