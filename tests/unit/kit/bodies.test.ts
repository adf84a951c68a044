import { describe, expect, it } from "vitest";
import { fit, inside, loft, mold, profile, revolve, section, shrink, split } from "../../../src/dsl/index.ts";
import { clay } from "../../../src/dsl/index.ts";
import { Form } from "../../../src/dsl/form/form.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import { signedArea } from "../../../src/dsl/outline/path.ts";
import { insideVolume } from "../../../src/dsl/mold/capacity.ts";
import { makeGrid } from "../../../src/dsl/mold/grid.ts";

const radius = (body: Body, u: number, z: number) => {
  const form = new Form(body, 1);
  const p = form.column(u).at(z);
  const c = form.centre(z);
  return Math.hypot(p.x - c.x, p.y - c.y);
};
const frustum = (a: number, b: number, h: number) => (Math.PI * h * (a * a + a * b + b * b)) / 3000;

/** A turned pot whose room above a base of `slab` is the frustum a…b over `h`, walls `slab` thick. */
const potAround = (a: number, b: number, h: number, slab: number) => {
  const slope = (b - a) / h;
  const aside = slab * Math.hypot(1, slope);
  return revolve([
    [a - slope * slab + aside, 0],
    [b + aside, h + slab],
  ]);
};
const roomOf = (body: Body, slab: number, level?: number) => {
  const form = new Form(body, 1);
  const grid = makeGrid(form, { tolerance: 0.02, us: [], zs: [slab, level ?? slab], turn: 0.26 });
  return insideVolume(grid, slab, slab, level) / 1000;
};

describe("revolve", () => {
  it("is the loft of its circles", () => {
    const points = [
      [30, 0],
      [42, 40],
      [38, 90],
    ] as const;
    const lofted = loft(points.map(([r, z]) => profile.circle({ diameter: 2 * r }).at(z)));
    for (const z of [0, 17, 40, 66, 90])
      expect(radius(revolve(points), 0.3, z)).toBeCloseTo(radius(lofted, 0.3, z), 12);
    expect(radius(revolve(points, { side: "straight" }), 0.7, 20)).toBeCloseTo(36, 12);
  });

  it("axis points that only close the drawing are passed over", () => {
    const closed = revolve([
      [0, 0],
      [30, 0],
      [40, 80],
      [0, 80],
    ]);
    expect(closed.sections.map((one) => one.z)).toEqual([0, 80]);
  });

  it("misuse names the point", () => {
    expect(() => revolve([[30, 0]])).toThrow(/at least two points, this has 1/);
    expect(() =>
      revolve([
        [30, 0],
        [32, 0],
        [40, 50],
      ]),
    ).toThrow(/points 1 and 2 are both at z 0; a level step/);
    expect(() =>
      revolve([
        [30, 0],
        [40, 50],
        [42, 20],
      ]),
    ).toThrow(/point 3 is at z 20, below point 2 at z 50/);
    expect(() =>
      revolve([
        [30, 5],
        [40, 50],
      ]),
    ).toThrow(/the lowest point is at z 5/);
    expect(() =>
      revolve([
        [30, 0],
        [0, 50],
      ]),
    ).toThrow(/point 2 lies on the axis/);
    expect(() =>
      revolve([
        [-30, 0],
        [10, 50],
      ]),
    ).toThrow(/radius of point 1 is -30/);
    expect(() =>
      revolve([
        [30, NaN],
        [10, 50],
      ]),
    ).toThrow(/z of point 1 must be a finite number/);
    expect(() => revolve("bowl" as never)).toThrow(/an array of points \[radius, z\]/);
  });
});

describe("section", () => {
  const foot = profile.polygon({ sides: 6, acrossFlats: 60 });
  const body = loft([foot.at(0), foot.scale(1.3).shift(10, 0).turn(40).at(100)], { side: "straight" });

  it("of a section that is written is that section", () => {
    const top = section(body, 100);
    expect(top.curve.kind).toBe("polygon");
    expect([top.cx, top.turned]).toEqual([10, 40]);
  });

  it("between sections follows the body: place, turn, size, corners", () => {
    const middle = section(body, 50);
    expect(middle.cx).toBeCloseTo(5, 12);
    expect(middle.turned).toBeCloseTo(20, 12);
    const across = 60 * 1.15;
    expect(signedArea(middle.curve)).toBeCloseTo((Math.sqrt(3) / 2) * across * across, 3);
    expect(middle.curve.corners).toHaveLength(6);
  });

  it("lofted again it gives the body again", () => {
    const again = loft([section(body, 0).at(0), section(body, 50).at(50), section(body, 100).at(100)], {
      side: "straight",
    });
    const form = new Form(body, 1);
    for (const u of [0.1, 0.35, 0.8]) {
      for (const z of [10, 50, 90]) {
        const p = form.column(u).at(z);
        const c = form.centre(z);
        // A section and a polygon correspond by angle, the polygons of the body side by side.
        const angle = Math.atan2(p.y - c.y, p.x - c.x) - c.turn;
        const same = angle / (2 * Math.PI);
        expect(radius(again, same - Math.floor(same), z)).toBeCloseTo(radius(body, u, z), 3);
      }
    }
  });

  it("beyond the body throws", () => {
    expect(() => section(body, 101)).toThrow(/section: z is 101; allowed is at least 0 and at most 100 mm/);
  });
});

describe("room inside: frusta (standard geometry: πH/3(r1² + r1r2 + r2²))", () => {
  it("r 40/30, H 90 holds 348.7168 mL", () => {
    expect(frustum(30, 40, 90)).toBeCloseTo(348.7168, 4);
    expect(roomOf(potAround(30, 40, 90, 6), 6) / 348.7168).toBeCloseTo(1, 3);
  });

  it("r 42/34, H 95 holds 432.5554 mL, of which 378.2414 lie more than 10 mm below the rim", () => {
    const pot = potAround(34, 42, 95, 5);
    expect(roomOf(pot, 5) / 432.5554).toBeCloseTo(1, 3);
    expect(roomOf(pot, 5, 90) / 378.2414).toBeCloseTo(1, 3);
  });
});

describe("inside", () => {
  it("of a cone is the cone one fired slab further in, on top of its base", () => {
    const pot = revolve([
      [34, 0],
      [46, 100],
    ]);
    const room = inside(pot, { slab: 6, clay: 0.12 });
    const thick = 6 * 0.88;
    const aside = thick * Math.hypot(1, 0.12);
    expect(room.sections[0].z).toBeCloseTo(thick, 3);
    for (const z of [thick, 40, 77, 100]) expect(radius(room, 0.21, z)).toBeCloseTo(34 + 0.12 * z - aside, 2);
  });

  it("the shrinkage across the slab counts", () => {
    const white = clay({ name: "white", total: 0.12, thickness: 0.2 });
    const room = inside(
      revolve([
        [40, 0],
        [40, 80],
      ]),
      { slab: 10, clay: white },
    );
    expect(radius(room, 0.5, 40)).toBeCloseTo(32, 2);
  });

  it("of a square pot has corners, its section starts a lid", () => {
    const square = profile.polygon({ sides: 4, acrossFlats: 80 });
    const room = inside(loft([square.at(0), square.at(60)]), { slab: 5, clay: 0 });
    const plug = section(room, 60);
    expect(plug.curve.corners).toHaveLength(4);
    expect(signedArea(plug.curve)).toBeCloseTo(70 * 70, 0);
    expect(signedArea(plug.grow(-1).curve)).toBeCloseTo(68 * 68, 0);
  });

  it("a slab that fills the pot throws", () => {
    const narrow = revolve([
      [20, 0],
      [6, 60],
      [18, 90],
    ]);
    expect(() => inside(narrow, { slab: 8, clay: 0.1 })).toThrow(
      /7\.2 mm thick when fired leaves no room at z /,
    );
    expect(() =>
      inside(
        revolve([
          [40, 0],
          [40, 5],
        ]),
        { slab: 8, clay: 0 },
      ),
    ).toThrow(/fills a pot 5 mm high/);
    expect(() => inside(narrow, { slab: 8 } as never)).toThrow(/inside: clay is missing/);
    expect(() => inside(narrow, { slab: 8, clay: 12 })).toThrow(/looks like per cent/);
  });

  it("is no vessel that stands on the board", () => {
    const room = inside(
      revolve([
        [40, 0],
        [40, 80],
      ]),
      { slab: 6, clay: 0 },
    );
    expect(() => mold(shrink(room, 0.1))).toThrow(/begins at z 6/);
  });
});

describe("fit", () => {
  const shapes: [string, Body][] = [
    [
      "a cone",
      revolve([
        [30, 0],
        [44, 90],
      ]),
    ],
    ["a smooth jug", loft([60, 90, 50, 56].map((diameter, i) => profile.circle({ diameter }).at(i * 40)))],
    [
      "a waved, turned, leaning beaker",
      loft([
        profile.wave({ diameter: 70, waves: 8, amplitude: 1.5 }).at(0),
        profile.wave({ diameter: 80, waves: 8, amplitude: 1.5 }).turn(20).shift(6, 2).at(95),
      ]),
    ],
  ];
  for (const [name, body] of shapes) {
    it(`${name} holds what it should within 0.1 %, at either size`, () => {
      for (const capacity of [120, 900]) {
        const fitted = fit(body, { capacity, slab: 6, clay: 0.125 });
        const form = new Form(fitted, 1 / 0.875);
        const grid = makeGrid(form, { tolerance: 0.01, us: [], zs: [6], turn: 0.13 });
        const held = (insideVolume(grid, 6, 6) * 0.875 ** 3) / 1000;
        expect(Math.abs(held / capacity - 1)).toBeLessThan(1e-3);
      }
    });
  }

  it("a cone by formula, filled to 10 mm below the brim", () => {
    const fitted = fit(
      revolve([
        [30, 0],
        [44, 90],
      ]),
      { capacity: 300, slab: 6, clay: 0.12, fill: 10 },
    );
    const k = fitted.sections[1].z / 90;
    const slope = 14 / 90;
    const thick = 6 * 0.88;
    const room = (z: number) => 30 * k + slope * z - thick * Math.hypot(1, slope);
    const top = 90 * k - 10;
    expect(frustum(room(thick), room(top), top - thick) / 300).toBeCloseTo(1, 3);
  });

  it("keeps what was written: calls, turns, shape", () => {
    const body = shapes[2][1];
    const fitted = fit(body, { capacity: 500, slab: 6, clay: 0.1 });
    expect(fitted.sections.map((one) => one.outline.turned)).toEqual([0, 20]);
    expect(fitted.call).toBe(body.call);
    expect(fitted.sections[1].outline.cx / fitted.sections[1].z).toBeCloseTo(6 / 95, 12);
  });

  it("what cannot be throws", () => {
    const [, body] = shapes[0];
    expect(() => fit(body, { capacity: -1, slab: 6, clay: 0.1 })).toThrow(/capacity is -1/);
    expect(() => fit(body, { capacity: 100, slab: 6, clay: 0.1, fill: "full" as never })).toThrow(
      /fill must be a finite/,
    );
    expect(() => fit({} as never, { capacity: 100, slab: 6, clay: 0.1 })).toThrow(/a body, such as loft/);
    expect(() =>
      fit(
        revolve([
          [1, 0],
          [1, 900],
        ]),
        { capacity: 900000, slab: 6, clay: 0 },
      ),
    ).toThrow(/no size up to 2000 mm holds/);
  });
});

it("a turned body makes a mold", async () => {
  const { loadKernel } = await import("../../../src/dsl/solid/kernel.ts");
  const { buildMold } = await import("../../../src/dsl/mold/build.ts");
  await loadKernel();
  const built = buildMold(
    mold(shrink(potAround(30, 40, 90, 6), 0), { seams: split({ parts: 2 }) }),
    "cone",
    "idle",
  );
  expect(built.model.parts.map((part) => part.name)).toEqual(["wall-a", "wall-b"]);
});
