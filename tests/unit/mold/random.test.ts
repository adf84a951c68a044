import { beforeAll, describe, expect, it } from "vitest";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { randomDesign } from "./random-design.ts";
import { randomOptions } from "./random-options.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

/** Seeds that once failed, kept for ever. */
const KEPT = [2, 5, 11, 15, 16, 41, 45, 47, 50, 62, 79, 111];
const FRESH = [100, 101, 102, 103];

/** Of one piece, humps in one piece and in two, rings, two to eight parts. */
const OPTIONS = [201, 202, 203, 204, 205, 206, 207, 208, 209, 210];

describe("random designs hold together", () => {
  const designs = [
    ...[...KEPT, ...FRESH].map((seed) => ({ seed, design: randomDesign })),
    ...OPTIONS.map((seed) => ({ seed, design: randomOptions })),
  ];
  for (const { seed, design } of designs) {
    it(`${design.name} ${seed}`, () => {
      const built = build(design(seed), "idle");
      for (const part of built.model.parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
      // Throws with what is wrong: gaps, overlaps, volumes, or a part without undercut that cuts on its way.
      expect(proveMold(built).outerMm3).toBeGreaterThan(0);
      for (const finding of checkMold(built)) expect(finding.value).toBeTypeOf("number");
    });
  }
});

/** What failed only as finely as it is exported. */
const EXPORTED = [
  { seed: 3026, design: randomDesign },
  { seed: 3043, design: randomOptions },
];

describe("random designs hold together as they are exported", () => {
  for (const { seed, design } of EXPORTED) {
    it(`${design.name} ${seed}`, () => {
      const { parts } = build(design(seed), "export").model;
      for (const part of parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
    });
  }
});
