import { beforeAll, describe, expect, it } from "vitest";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { keyBoolean } from "./key-booleans.ts";

beforeAll(loadKernel);

describe("a peg on one side of a seam face and its socket in the other; 500 of them in `npm run check:pulls`", () => {
  const shapes: string[] = [];
  for (let from = 1; from <= 150; from += 50)
    it(`seeds ${from} to ${from + 49}: closed, of one piece, nothing of the peg lost, volume by its formula`, () => {
      for (let seed = from; seed < from + 50; seed++) {
        const found = keyBoolean(seed);
        if (!found) continue;
        expect(found.faults, `seed ${seed}: ${JSON.stringify(found)}`).toEqual([]);
        expect(found.offBy, `seed ${seed}`).toBeLessThan(1e-3);
        shapes.push(`${found.shape}${found.twist === 0 ? "" : " twisted"}`);
      }
    });
  it("every shape was there, on flat faces and on helicoids", () => {
    for (const shape of ["dome", "cone", "ridge"])
      for (const face of ["", " twisted"])
        expect(shapes.filter((one) => one === shape + face).length).toBeGreaterThan(4);
  });
});
