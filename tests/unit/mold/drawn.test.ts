import { beforeAll, describe, expect, it } from "vitest";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { drawParts, isAtOdds } from "./drawn.ts";
import { randomLoft } from "./random-loft.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

/** What `npm run check:pulls` looks at on 300 lofts; here some that are quick, with parts of both kinds, and seeds that once failed. */
describe("what is said of each part is what comes of drawing it, on the exported solids", () => {
  const says: string[] = [];
  for (const seed of [4, 8, 9, 18, 108])
    it(`seed ${seed}`, () => {
      const drawn = drawParts(build(randomLoft(seed)));
      expect(drawn.filter(isAtOdds)).toEqual([]);
      says.push(...drawn.map((one) => one.says));
    });
  it("parts that are held and parts that are free were both among them", () => {
    expect(says.filter((one) => one === "held").length).toBeGreaterThan(4);
    expect(says.filter((one) => one === "free").length).toBeGreaterThan(10);
  });
});
