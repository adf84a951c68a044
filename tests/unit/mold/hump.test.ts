import { beforeAll, describe, expect, it } from "vitest";
import { cutter, loft, mold, profile, revolve, shrink, split } from "../../../src/dsl/index.ts";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import type { MoldOptions } from "../../../src/dsl/kit/mold.ts";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { Unbuildable } from "../../../src/dsl/mold/unbuildable.ts";
import { layOnBed } from "../../../src/dsl/output/bed.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { volumeOf } from "../../../src/dsl/solid/measure.ts";
import { insideOf } from "./inside.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

const SLAB = 6;
const hump = (body: Body, more: MoldOptions = {}) =>
  mold(shrink(body, 0), { side: "inside", seams: split.whole(), ...more });

/** A dome on the ball of radius 60 about (0, 0, 60), from near its lowest point up to 11.5° under its middle. */
const R = 60;
const FOOT = 0.02;
const dome = () => {
  const points = Array.from({ length: 91 }, (_, i): [number, number] => {
    const angle = FOOT + (i / 90) * (1.37 - FOOT);
    return [R * Math.sin(angle), i === 0 ? 0 : R * (Math.cos(FOOT) - Math.cos(angle))];
  });
  return revolve(points);
};
/** Fired r 30 → 50 mm, 60 mm high; not shrunk, so that formulas hold as they stand. */
const frustum = () =>
  loft([profile.circle({ diameter: 60 }).at(0), profile.circle({ diameter: 100 }).at(60)], {
    side: "straight",
  });
const hexagon = () =>
  loft([
    profile.polygon({ sides: 6, acrossFlats: 70, corner: 14 }).at(0),
    profile.polygon({ sides: 6, acrossFlats: 116, corner: 24 }).turn(10).at(50),
  ]);

/** Points of the faces that shape the clay: corners and middles of their facets. */
function* cavityPoints({ bare }: BuiltMold): Generator<[number, number, number]> {
  for (const { mesh, runs } of bare) {
    const { positions: p, triangles: t } = mesh;
    for (const run of runs) {
      if (run.face !== "cavity") continue;
      for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3) {
        const corners = [0, 1, 2].map((k) => [...p.subarray(3 * t[i + k], 3 * t[i + k] + 3)]);
        yield corners[0] as [number, number, number];
        yield [0, 1, 2].map((axis) => (corners[0][axis] + corners[1][axis] + corners[2][axis]) / 3) as [
          number,
          number,
          number,
        ];
      }
    }
  }
}

describe("a hump of one piece", () => {
  it("lies one slab inside a ball, within 0.02 mm (derived: R − |p − c|)", () => {
    const built = build(hump(dome()));
    const top = built.layout.height;
    const centre = R * Math.cos(FOOT);
    let [least, most, count] = [Infinity, -Infinity, 0];
    for (const [x, y, z] of cavityPoints(built)) {
      // The flat under the base and the shelf are level.
      if (z < SLAB + 1e-3 || z > top - 1e-3) continue;
      const gap = R - Math.hypot(x, y, z - centre);
      least = Math.min(least, gap);
      most = Math.max(most, gap);
      count++;
    }
    expect(count).toBeGreaterThan(10_000);
    expect(least).toBeGreaterThan(SLAB - 0.02);
    expect(most).toBeLessThan(SLAB + 0.02);
    // sin δ = (c − z)/(R − slab) where the smaller ball meets the mouth (derived).
    expect(built.model.parts[0].draftDeg).toBeCloseTo(
      (Math.asin((centre - top) / (R - SLAB)) * 180) / Math.PI,
      1,
    );
  });

  it("fills a frustum less its slab, V = πH/3(r1² + r1r2 + r2²), and leaves along its axis with the cone's draft", () => {
    const { model, clay } = build(hump(frustum(), { marks: false, vents: false }));
    const slope = 20 / 60;
    // Square to the side a slab is slab·√(1 + slope²) wide on the level (derived).
    const inset = SLAB * Math.hypot(1, slope);
    const [low, high] = [30 + SLAB * slope - inset, 50 - inset];
    const room = ((Math.PI * (60 - SLAB)) / 3) * (low * low + low * high + high * high);
    const outside = ((Math.PI * 60) / 3) * (30 * 30 + 30 * 50 + 50 * 50);
    expect(volumeOf(clay.mesh) / (outside - room)).toBeCloseTo(1, 3);
    expect(model.wet.slabAreaMm2).toBeCloseTo(volumeOf(clay.mesh) / SLAB, 3);
    const [wall] = model.parts;
    expect(wall.pull![2]).toBeCloseTo(1, 9);
    expect(wall.draftDeg).toBeCloseTo((Math.atan(slope) * 180) / Math.PI, 2);
    expect(model).toMatchObject({ side: "inside", stand: "rim", base: "closed" });
    expect(model.build).toMatchObject({ flange: null, bands: null, limits: { draft: 7 } });
    expect(model.moves).toHaveLength(1);
    // Fired and wet it is a pot that holds something.
    const fired = build(mold(shrink(frustum(), 0.12), { side: "inside", seams: split.whole() })).model.fired!;
    const scale = 1 / 0.88;
    const thin = SLAB / scale;
    const firedInset = thin * Math.hypot(1, slope);
    const [a, b] = [30 + thin * slope - firedInset, 50 - firedInset];
    expect(fired.capacityMl!).toBeCloseTo(
      ((Math.PI * (60 - thin)) / 3) * ((a * a + a * b + b * b) / 1000),
      0,
    );
  });

  it("stands on a shelf as wide as its rim beyond the clay, is hollow with a shell of the wall, and vented", () => {
    const built = build(hump(frustum(), { marks: false, rim: { width: 10 } }));
    const [wall] = built.model.parts;
    const { positions: p } = wall.mesh;
    let reach = 0;
    for (let i = 0; i < p.length; i += 3) reach = Math.max(reach, Math.hypot(p[i], p[i + 1]));
    expect(reach).toBeCloseTo(60, 1);
    const laid = layOnBed(wall);
    expect(laid.size[2]).toBeCloseTo(60 - SLAB + 4, 2);
    const isPlastic = insideOf(wall.mesh);
    // Under the clay's flat by the wall, beside the vent, is plastic; deeper on the axis is none.
    expect(isPlastic(3, 0, SLAB + 2)).toBe(true);
    expect(isPlastic(0, 0, SLAB + 1)).toBe(false);
    expect(isPlastic(3, 0, 40)).toBe(false);
    // Half-way up the side, square to it: inside the shell, and behind it.
    const { wall: thick } = built.model.build;
    const z = 55;
    const r = 30 + z / 3 - SLAB * Math.hypot(1, 1 / 3);
    expect(isPlastic(r - 0.95 * thick, 0.1, z)).toBe(true);
    expect(isPlastic(r - 1.15 * thick, 0.1, z)).toBe(false);
  });

  it("glued from four: the pieces have the volume of the whole", () => {
    const one = build(hump(frustum(), { marks: false })).model.parts[0];
    const four = build(hump(frustum(), { marks: false, seams: split.whole({ glue: 4 }) })).model.parts;
    expect(four.map((part) => part.name)).toEqual(["wall-a", "wall-b", "wall-c", "wall-d"]);
    const sum = four.reduce((total, part) => total + volumeOf(part.mesh), 0);
    expect(sum / volumeOf(one.mesh)).toBeCloseTo(1, 6);
  });
});

describe("a hump in two", () => {
  it("the first half slides up along the other on two ridges that widen upwards", () => {
    const built = build(hump(hexagon(), { seams: split() }));
    const { model } = built;
    expect(model.parts.map((part) => part.name)).toEqual(["wall-a", "wall-b"]);
    expect(model.seams).toHaveLength(1);
    expect(model.keys).toHaveLength(2);
    expect(model.keys.every((key) => key.shape === "ridge" && key.proud === model.moves[0].part)).toBe(true);
    expect(model.moves).toHaveLength(2);
    // Nothing leaves through the seam while the other half is there.
    const away = model.seams[0].parts[0] === model.moves[0].part ? -1 : 1;
    const { axis } = model.keys[0];
    const along = model.moves[0].direction.reduce((sum, value, i) => sum + value * axis[i], 0);
    expect(away * along).toBeGreaterThan(-1e-9);
  });

  it("parts where it is told to", () => {
    const at30 = build(hump(frustum(), { seams: split({ at: 30 }) })).model;
    expect(at30.seams[0].atDeg).toBeCloseTo(30, 6);
    for (const [x, y] of at30.seams[0].curve)
      expect(Math.abs(-x * Math.sin(Math.PI / 6) + y * Math.cos(Math.PI / 6))).toBeLessThan(0.01);
    const corners = build(hump(hexagon(), { seams: split({ at: "corners" }) })).model;
    expect(corners.seams[0].atDeg % 60).toBeCloseTo(0, 3);
  });
});

describe("every hump", () => {
  const samples: [string, () => ReturnType<typeof mold>][] = [
    ["dome", () => hump(dome())],
    ["frustum in two", () => hump(frustum(), { seams: split({ at: 20 }) })],
    ["hexagon", () => hump(hexagon())],
    ["hexagon in two", () => hump(hexagon(), { seams: split() })],
    [
      "waved dish that leans",
      () => {
        const wave = profile.wave({ diameter: 70, waves: 5, amplitude: 3 });
        return hump(loft([wave.at(0), wave.scale(1.5).turn(12).shift(6, 2).at(45)]));
      },
    ],
    [
      "small cup in two",
      () =>
        hump(
          revolve([
            [22, 0],
            [30, 40],
          ]),
          { seams: split() },
        ),
    ],
    ["shallow square dish", () => hump(squareDish())],
  ];
  for (const [name, make] of samples) {
    it(`${name}: closed, volumes add up, parts come off the clay and each other`, () => {
      const built = build(make());
      const proof = proveMold(built);
      expect(Math.abs(proof.differenceMm3)).toBeLessThan(1e-6 * proof.outerMm3);
      expect(proof.overlapMm3).toBeLessThan(1);
      for (const part of [...built.model.parts, built.model.vessel])
        expect(faultOfSolid(part.mesh), part.name).toBeNull();
      expect(built.opened.stuck).toEqual([]);
      // While a maker types the same is shown.
      const coarse = build(make(), "typing");
      expect(coarse.model.parts.map((part) => part.name)).toEqual(built.model.parts.map((part) => part.name));
      for (const [i, part] of coarse.model.parts.entries())
        expect(volumeOf(part.mesh) / volumeOf(built.model.parts[i].mesh)).toBeCloseTo(1, 1);
    });
  }
});

describe("what a hump says", () => {
  const codes = (one: ReturnType<typeof mold>) => checkMold(build(one));

  it("nothing of a flared form, but that it is not scaled", () => {
    expect(codes(hump(frustum())).map(({ code }) => code)).toEqual(["shrink-later"]);
  });

  it("under 7° the clay will drag, with the place and what to do", () => {
    const steep = (degrees: number) =>
      revolve([
        [36, 0],
        [36 + 60 * Math.tan((degrees * Math.PI) / 180), 60],
      ]);
    const [low] = codes(hump(steep(5))).filter(({ code }) => code === "draft-low");
    expect(low).toMatchObject({
      severity: "warning",
      variant: "hump",
      part: "wall-a",
      value: 5,
      limit: 7,
      unit: "°",
    });
    expect(low.at![2]).toBeGreaterThan(SLAB - 0.01);
    expect(codes(hump(steep(7.5))).map(({ code }) => code)).toEqual(["shrink-later"]);
    expect(codes(hump(steep(5), { limits: { draft: 4 } })).map(({ code }) => code)).toEqual(["shrink-later"]);
  });

  it("upright sides hold the clay as it tightens: release shrinkage × radius (derived)", () => {
    const clay = { total: 0.12 };
    const upright = mold(
      shrink(
        loft([profile.circle({ diameter: 92 }).at(0), profile.circle({ diameter: 92 }).at(60)]),
        clay.total,
      ),
      {
        side: "inside",
        seams: split.whole(),
      },
    );
    const [grip] = codes(upright).filter(({ code }) => code === "clay-grips");
    // Half of the shrinkage is drying, 0.4 of that is over at leather-hard (practice).
    expect(grip.value!).toBeCloseTo(0.12 * 0.5 * 0.4 * (46 / 0.88 - SLAB), 1);
  });

  it("a mouth narrower than the belly tears the clay: straight up by 50 − 44 mm less the slant of the slab", () => {
    const bellied = revolve(
      [
        [40, 0],
        [50, 30],
        [44, 60],
      ],
      { side: "straight" },
    );
    const built = build(hump(bellied));
    const [held] = checkMold(built).filter(({ code }) => code === "undercut");
    expect(held).toMatchObject({ severity: "error", variant: "hump", part: "wall-a" });
    // A pull aslant may hold less of the clay, and that the more deeply.
    expect(held.value!).toBeGreaterThan(4.5);
  });

  it("a corner that is rounder than the slab by too little is sharp on the hump", () => {
    const square = (corner: number) =>
      loft(
        [
          profile.polygon({ sides: 4, acrossFlats: 70, corner }).at(0),
          profile.polygon({ sides: 4, acrossFlats: 100, corner }).at(50),
        ],
        { side: "straight" },
      );
    const [sharp] = codes(hump(square(7))).filter(({ code }) => code === "corner-sharp");
    // On the hump a fillet of 7 mm is 1 mm round; 3 mm are wanted.
    expect(sharp).toMatchObject({ variant: "hump", limit: 3 });
    expect(sharp.value!).toBeLessThan(2);
    expect(codes(hump(square(9.5))).map(({ code }) => code)).toEqual(["shrink-later"]);
  });

  it("ridges that find no room", () => {
    const small = revolve([
      [12, 0],
      [18, 24],
    ]);
    const [told] = codes(hump(small, { seams: split() })).filter(({ code }) => code === "key-no-room");
    expect(told).toMatchObject({ severity: "error", variant: "hump", part: "seam-1" });
  });

  it("a slab that fills the pot leaves nothing to lay it over", () => {
    const thin = revolve([
      [5, 0],
      [5.5, 40],
    ]);
    const flat = revolve([
      [40, 0],
      [42, 5],
    ]);
    for (const body of [thin, flat]) {
      let told: unknown = null;
      try {
        build(hump(body));
      } catch (error) {
        told = error instanceof Unbuildable ? error.finding : error;
      }
      expect(told).toMatchObject({ code: "slab-crowded", variant: "hump", severity: "error" });
    }
  });
});

describe("what goes with no hump", () => {
  const refused: [string, MoldOptions, RegExp][] = [
    ["solid clay", { slab: "solid" }, /laid over a hump/],
    ["halves", { seams: split.halves({ plane: "xz" }) }, /split\.halves is for solid clay/],
    ["three parts", { seams: split({ parts: 3 }) }, /not of 3/],
    ["a bent plane", { seams: split({ at: [0, 120] }) }, /180° apart/],
    ["a level pull", { seams: split({ pull: "level" }) }, /leave pull out/],
    ["flanges", { seams: split(), flange: { width: 10 } }, /leave flange out/],
    ["bands", { seams: split(), bands: { count: 1 } }, /leave bands out/],
    ["pry slots", { pry: false }, /leave pry out/],
    ["pressing part by part", { press: "parts" }, /leave press out/],
    ["a floor", { base: "floor" }, /leave base out/],
    ["a base of its own thickness", { base: { kind: "closed", slab: 8 } }, /leave base out/],
    ["a base cutter", { cutters: [cutter.base()] }, /leave cutter\.base out/],
  ];
  for (const [name, options, reason] of refused) {
    it(name, () => {
      expect(() => mold(shrink(frustum(), 0), { side: "inside", ...options })).toThrow(reason);
    });
  }
  it("a body open below", () => {
    const open = loft([profile.circle({ diameter: 60 }).at(0), profile.circle({ diameter: 90 }).at(60)], {
      open: "both",
    });
    expect(() => hump(open)).toThrow(/open at both/);
  });
});

function squareDish(): Body {
  const outline = profile.rounded({ width: 120, depth: 90, corner: 20 });
  return loft([outline.at(0), outline.grow(8).at(14), outline.grow(20).at(28)]);
}
