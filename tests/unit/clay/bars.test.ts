import { describe, expect, test } from "vitest";
import { BarsError, parseBars } from "../../../src/dsl/clay/bars.ts";

describe("tables that can be read", () => {
  const expected = [
    { wet: 100, dry: 93.9, fired: 87.6 },
    { wet: 100, fired: 88 },
  ];
  test.each([
    ["comma", "wet,dry,fired\n100,93.9,87.6\n100,,88\n"],
    ["semicolon and decimal comma", "wet;dry;fired\n100;93,9;87,6\n100;;88,0"],
    ["tab", "wet\tdry\tfired\n100\t93.9\t87.6\n100\t\t88"],
    [
      "byte order mark, CRLF, blank lines, notes",
      "\uFEFF# batch\r\nwet,dry,fired\r\n\r\n100,93.9,87.6\r\n100,,88\r\n",
    ],
    ["another order, capitals, quotes, more columns", '"Fired",No,Wet,Dry\n"87.6",1,100,93.9\n88,2,100,\n'],
  ])("%s", (_, csv) => {
    expect(parseBars(csv)).toEqual(expected);
  });

  test("no dry column", () => {
    expect(parseBars("wet,fired\n100,88")).toEqual([{ wet: 100, fired: 88 }]);
  });
});

describe("tables that cannot be read say which line", () => {
  test.each([
    ["", 1, /empty/],
    ["wet,dry\n100,94", 1, /no column is named fired/],
    ["100,93.9,87.6", 1, /no column is named wet/],
    ["wet,wet,fired\n1,1,1", 1, /two columns named wet/],
    ["wet,dry,fired\n", 2, /no bar/],
    ["wet,dry,fired\n100,93.9,87.6\n100,93.9,abc", 3, /fired is “abc”/],
    ["wet,dry,fired\n100,93.9,", 2, /fired is “”/],
    ["wet,fired\n100,-88", 2, /fired is “-88”/],
    ["wet,fired\n100,88\n\n# note\n0,0", 5, /wet is “0”/],
    ["wet,fired\n100,1e2", 2, /fired is “1e2”/],
    ["wet,fired\n88,100", 2, /longer than the wet/],
    ["wet,dry,fired\n100,101,88", 2, /dry length 101/],
    ["wet,dry,fired\n100,88,94", 2, /fired length 94 is longer than the dry length 88/],
    ["wet,fired\n100,60", 2, /40\.0 %/],
  ])("%j → line %i", (csv, line, reason) => {
    let thrown: unknown;
    try {
      parseBars(csv);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(BarsError);
    expect((thrown as BarsError).line).toBe(line);
    expect((thrown as BarsError).message).toMatch(reason);
    expect((thrown as BarsError).message).toMatch(new RegExp(`^line ${line}: `));
  });
});
