import { describe, expect, it } from "vitest";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";
import { request } from "../engine/real.ts";

const engine = new Engine(parts, () => undefined);

const design = (body: string) => `import { mold, profile, shrink, solid, split, sweep } from "slabwright";
import { extrusions, primitives } from "@jscad/modeling";
const { polygon, cuboid } = primitives;
const figure = ${body};
export default mold(shrink(figure, 0.1), { slab: "solid", seams: split.halves({ plane: "xz" }) });
`;

async function check(text: string) {
  const result = await engine.build(request(text, {}, { fixes: true }));
  expect(result.problem).toBeUndefined();
  return result.findings.filter(({ severity }) => severity === "error");
}

const dome =
  "extrusions.extrudeRotate({ segments: 32 }, polygon({ points: [[0, 0], [20, 0], [18, 8], [10, 16], [0, 20]] }))";
const rod = "cuboid({ size: [12, 12, 30], center: [0, 0, 15] })";

describe("what encloses no clay: on the line that makes it, with what to do", () => {
  it("rim-uneven: a dome on a flat foot opens there, and the fix says so", async () => {
    const text = design(`solid(${dome})`);
    const [finding, ...more] = await check(text);
    expect(more).toEqual([]);
    expect(finding).toMatchObject({ code: "rim-uneven", place: { line: 4 }, unit: "mm²" });
    expect(finding.message).toMatch(
      /^The knife has no flat to run on: at its top the solid has \d+ mm² .* Cut the solid level/,
    );
    expect(finding.fixes.map(({ title }) => title)).toEqual(["Open it at its bottom instead"]);
    const cured = applyEdits(text, finding.fixes[0].edits);
    expect(cured).toContain(`open: "bottom"`);
    expect(await check(cured)).toEqual([]);
  });

  it("rim-uneven: what is flat at neither end has no fix", async () => {
    const [finding] = await check(design(`solid(primitives.sphere({ radius: 15, segments: 24 }))`));
    expect(finding).toMatchObject({ code: "rim-uneven", fixes: [] });
  });

  it("body-open: a lid is missing, and the place of an open edge is named", async () => {
    const text = design(`solid({ polygons: ${rod}.polygons.slice(1) })`);
    const [finding] = await check(text);
    expect(finding).toMatchObject({ code: "body-open", place: { line: 4 }, value: 4, limit: 0 });
    expect(finding.message).toMatch(
      /4 edges have no neighbour, one near x -?\d+, y -?\d+, z \d+\. Close the mesh/,
    );
  });

  it("body-crossing: a path bends more tightly than its outline is wide", async () => {
    const text = design(`sweep(profile.circle({ diameter: 30 }), [[0, 0, 0], [6, 0, 8], [0, 0, 16]])`);
    const [finding] = await check(text);
    expect(finding).toMatchObject({ code: "body-crossing", place: { line: 4 }, fixes: [] });
    expect(finding.message).toMatch(
      /near z \d+: the path bends more tightly than the outline is wide\. Ease the bend/,
    );
    const eased = text.replace("diameter: 30", "diameter: 6");
    expect(await check(eased)).toEqual([]);
  });
});
