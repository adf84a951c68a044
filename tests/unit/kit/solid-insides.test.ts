import modeling from "@jscad/modeling";
import { beforeAll, describe, expect, it } from "vitest";
import { fit, inside, loft, mold, profile, section, shrink, solid, trim } from "../../../src/dsl/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import { Remembered } from "../../../src/dsl/kit/remembered.ts";
import { signedArea } from "../../../src/dsl/outline/path.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { openEdges, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { bean, boat, bowedVase, kidney } from "../mold/free-bodies.ts";
import { build } from "../mold/samples.ts";

/** What the kit measures of bodies that are not seen whole from their middle. */

beforeAll(loadKernel);

const upright = () => loft([bean().at(0), bean().at(50)]);

const meshOf = ({ solid }: Body) => {
  if (solid?.kind !== "mesh") throw new Error("that is no mesh");
  return solid.mesh;
};

describe("inside", () => {
  it("of upright walls is their outline one fired slab further in, on top of the base", () => {
    const room = inside(upright(), { slab: 6, clay: 0.12 });
    const thick = 6 * 0.88;
    const area = signedArea(bean().grow(-thick).curve);
    expect(Math.abs(volumeOf(meshOf(room)) / (area * (50 - thick)) - 1)).toBeLessThan(1e-3);
    expect(openEdges(meshOf(room))).toBe(0);
    for (const z of [thick, 20, 50]) expect(signedArea(section(room, z).curve) / area).toBeCloseTo(1, 3);
  });

  it("gives an outline to begin a lid from, about the middle of its area", () => {
    const mouth = section(inside(kidney(), { slab: 6, clay: 0.12 }), 42);
    const lid = loft([mouth.grow(-1).at(0), mouth.grow(-1.4).at(8)]);
    const { model } = build(mold(shrink(lid, 0.12), { slab: 6 }), "typing");
    expect(model.parts.filter(({ role }) => role === "wall")).toHaveLength(2);
  });

  it("stays on top of its base, so that no mold is made of it", () => {
    const room = inside(kidney(), { slab: 6, clay: 0.12 });
    expect(() => mold(room)).toThrow(/this body begins at z 5\.28, as the inside of a pot does/);
  });

  it("of a solid with a mouth that is not level is told", () => {
    const { hulls, primitives } = modeling;
    const egg = hulls.hull(
      primitives.sphere({ radius: 20 }),
      primitives.sphere({ radius: 12, center: [0, 0, 24] }),
    );
    expect(() => inside(solid(egg), { slab: 4, clay: 0.1 })).toThrow(
      /inside: The knife has no flat to run on/,
    );
  });

  it("of less than two slabs leaves nothing", () => {
    expect(() => inside(upright(), { slab: 40, clay: 0.1 })).toThrow(
      /a slab 36 mm thick when fired leaves no room that reaches the mouth/,
    );
  });
});

describe("fit", () => {
  it.each([
    ["a kidney", kidney(), 0],
    ["a kidney, 8 mm below its brim", kidney(), 8],
    ["a leaning vase", bowedVase(), 0],
    ["a boat of @jscad/modeling", boat(), 0],
  ] as const)("%s: the mold of the fitted body holds what it should within 0.1 %%", (_, body, fill) => {
    const fitted = fit(body, { capacity: 140, slab: 6, clay: 0.12, ...(fill > 0 ? { fill } : {}) });
    const { model, room } = build(mold(shrink(fitted, 0.12), { slab: 6 }), "export");
    if (fill === 0) expect(model.fired!.capacityMl! / 140).toBeCloseTo(1, 3);
    else {
      // Between the brim and the fill line lies the room's last slice, of nearly one width.
      const slice = signedArea(
        section(inside(fitted, { slab: 6, clay: 0.12 }), fitted.sections[1].z - fill / 2).curve,
      );
      expect((model.fired!.capacityMl! - (slice * fill) / 1000) / 140).toBeCloseTo(1, 2);
      expect(room!.volume).toBeGreaterThan(0);
    }
  });

  it("what no size holds throws", () => {
    expect(() => fit(kidney(), { capacity: 900_000, slab: 6, clay: 0.1 })).toThrow(
      /no size up to 1000 mm holds/,
    );
  });
});

describe("section", () => {
  const { booleans, primitives } = modeling;
  const rod = (radius: number) =>
    primitives.cylinder({ radius, height: 40, segments: 128, center: [5, 3, 20] });

  it("of a cylinder of @jscad/modeling is its circle", () => {
    const cut = section(solid(rod(30)), 12);
    expect([cut.cx, cut.cy].map((value) => Math.round(value * 1000) / 1000)).toEqual([5, 3]);
    // A polygon of 128 corners on the circle, drawn smooth through them.
    expect(signedArea(cut.curve) / (Math.PI * 900)).toBeCloseTo(1, 3);
    expect(cut.curve.corners).toHaveLength(0);
  });

  it("of a block has its corners", () => {
    const cut = section(solid(primitives.cuboid({ size: [40, 20, 30] })), 15);
    expect(cut.curve.corners).toHaveLength(4);
    expect(signedArea(cut.curve)).toBeCloseTo(800, 6);
  });

  it("of what is trimmed lacks what is cut off", () => {
    const half = trim(
      solid(rod(30)),
      solid(primitives.cuboid({ size: [200, 200, 200], center: [105, 0, 0] })),
    );
    expect(signedArea(section(half, 20).curve) / ((Math.PI * 900) / 2)).toBeCloseTo(1, 3);
  });

  it("with a hollow is no outline", () => {
    expect(() => section(solid(booleans.subtract(rod(30), rod(20))), 20)).toThrow(
      /this body's section at z 20 has 2 borders, as two legs or a hollow have/,
    );
  });

  it("beyond the body throws", () => {
    expect(() => section(solid(rod(30)), 41)).toThrow(
      /section: z is 41; allowed is at least 0 and at most 40 mm/,
    );
  });
});

describe("answers that are remembered", () => {
  it("are not asked for again while values are the same, and 16 of them are kept", () => {
    const remembered = new Remembered<number>();
    let asked = 0;
    const ask = (size: number) => remembered.of([profile.circle({ diameter: size }), 6], () => ++asked);
    expect([ask(40), ask(50), ask(40)]).toEqual([1, 2, 1]);
    for (let size = 60; size < 75; size++) ask(size);
    expect([ask(40), ask(50)]).toEqual([1, 18]);
  });

  it("are asked for again where a value cannot be looked into", () => {
    const remembered = new Remembered<number>();
    let asked = 0;
    const ask = () => remembered.of([() => 1], () => ++asked);
    expect([ask(), ask()]).toEqual([1, 2]);
  });
});
