import { expect, test } from "vitest";
import { slabwright, workshop } from "./fixture.ts";

const clay = async (table: string, ...words: string[]) => {
  using shop = workshop({ "stoneware.csv": table });
  return slabwright(["clay", "stoneware.csv", ...words], { cwd: shop.cwd });
};

// Five bars of 11.9, 12.2, 11.7, 12.1 and 11.8 %: mean 11.94, sd 0.20736, SE 0.09274; fired 90 mm
// → batch ±0.2631, one piece ±0.6446 mm at 95 % (Student's t; JCGM 100).
const FIVE = "wet,fired\n100,88.1\n100,87.8\n100,88.3\n100,87.9\n100,88.2\n";

test("five bars give a shrinkage with its uncertainty and the line for a design", async () => {
  const { status, out, err } = await clay(FIVE);
  expect({ status, err }).toEqual({ status: 0, err: "" });
  expect(out.split("\n")).toEqual([
    "5 bars",
    "total    11.94 %   standard error 0.09, from bar to bar 0.21",
    "scale    1.1356",
    "A pot of 100 mm fired: a batch lies within ±0.29 mm, one pot within ±0.72 mm (95 %).",
    "",
    `clay({ name: "stoneware", total: 0.1194 })`,
    "",
  ]);
});

test("--json gives the same unrounded", async () => {
  const json = JSON.parse((await clay(FIVE, "--json")).out) as {
    total: { n: number; mean: number; sd: number; se: number };
    drying: null;
    scale: number;
    per100mm: { batch: number; piece: number };
  };
  expect(json.total.n).toBe(5);
  expect(json.total.mean).toBeCloseTo(0.1194, 10);
  expect(json.total.sd).toBeCloseTo(0.0020736, 7);
  expect(json.drying).toBeNull();
  expect(json.scale).toBeCloseTo(1.135589, 6);
  expect(json.per100mm.batch).toBeCloseTo((0.2631 / 90) * 100, 3);
  expect(json.per100mm.piece).toBeCloseTo((0.6446 / 90) * 100, 3);
});

test("bars measured dry tell drying and firing apart", async () => {
  // 100 → 93.9 → 87.6: drying 6.1000 %, firing 6.7093 %, total 12.4000 % (ASTM C326, memory).
  const { out } = await clay("wet;dry;fired\n100;93,9;87,6\n100;93,9;87,6\n");
  expect(out).toContain("drying   6.10 %");
  expect(out).toContain("firing   6.71 %");
  expect(out).toContain("total    12.40 %");
  // The drying is kept, for what grips as it dries; compounded, the two are the total again.
  expect(out).toContain(`clay({ name: "stoneware", drying: 0.061, firing: 0.067093 })`);
  expect(1 - (1 - 0.061) * (1 - 0.067093)).toBeCloseTo(0.124, 6);
});

test("one bar is told to a whole per cent, with what its reading is worth", async () => {
  const { out } = await clay("wet,fired\n100,88.1\n");
  expect(out).toContain("1 bar\ntotal    12 %\n");
  expect(out).toContain("±0.2 points");
  expect(out).toContain("total: 0.12 }");
});

test("a table that cannot be read is status 1 with its line", async () => {
  expect(await clay("wet,fired\n100,88.1\n100,x\n")).toMatchObject({
    status: 1,
    out: "",
    err: "stoneware.csv:3:1: bars: fired is “x”; write a length above 0, such as 93.9.\n",
  });
});
