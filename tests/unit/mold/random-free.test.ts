import { beforeAll, describe, expect, it } from "vitest";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { KitError } from "../../../src/dsl/kit/error.ts";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { Unbuildable } from "../../../src/dsl/mold/unbuildable.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import type { Quality } from "../../../shared/engine.ts";
import { randomFree } from "./random-free.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

/** Seeds that once failed, kept for ever. */
const KEPT = [4, 5, 24, 48, 86, 118, 143, 145, 148, 170, 194, 242, 245, 295, 321, 387, 396, 928];
const FRESH = [1001, 1002, 1003, 1004, 1005];

/** The mold, or null where the maker is told on their own line that it cannot be. */
function builtOrTold(seed: number, quality: Quality): BuiltMold | null {
  try {
    return build(randomFree(seed), quality);
  } catch (error) {
    if (error instanceof KitError || error instanceof Unbuildable) return null;
    throw error;
  }
}

describe("random kidneys, sweeps, solids and what is trimmed hold together", () => {
  for (const seed of [...KEPT, ...FRESH])
    it(`seed ${seed}`, () => {
      const coarse = builtOrTold(seed, "typing");
      const built = builtOrTold(seed, "idle");
      expect(coarse === null).toBe(built === null);
      if (!coarse || !built) return;
      checkMold(coarse);
      for (const part of built.model.parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
      expect(proveMold(built).outerMm3).toBeGreaterThan(0);
      checkMold(built);
    });

  it("and most of them are built", () => {
    const made = FRESH.filter((seed) => builtOrTold(seed, "typing") !== null);
    expect(made.length).toBeGreaterThan(1);
  });
});
