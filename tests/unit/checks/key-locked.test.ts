import { beforeAll, expect, it } from "vitest";
import { keyLocked } from "../../../src/dsl/checks/keys.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { beakerMold, build } from "../mold/samples.ts";

beforeAll(loadKernel);

it("keys are shaped so that none locks; one whose flank leans less than 3° from the pull is an error", () => {
  const built = build(beakerMold(), "typing");
  expect(keyLocked(built)).toEqual([]);
  const [seam] = built.keys;
  const steep = { ...seam, keys: seam.keys.map((key, i) => (i === 1 ? { ...key, draftDeg: 2 } : key)) };
  const [finding, ...more] = keyLocked({ ...built, keys: [steep, ...built.keys.slice(1)] });
  expect(more).toEqual([]);
  expect(finding).toMatchObject({
    code: "key-locked",
    severity: "error",
    part: seam.name,
    value: 2,
    limit: 3,
  });
  expect(finding.at).toEqual(seam.keys[1].model.at);
});
