import { describe, expect, it } from "vitest";
import { Form, normalOf } from "../../../src/dsl/form/form.ts";
import { loft, profile } from "../../../src/dsl/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";

const us = Array.from({ length: 96 }, (_, i) => i / 96);
const radius = (form: Form, u: number, z: number) => {
  const p = form.column(u).at(z);
  const c = form.centre(z);
  return Math.hypot(p.x - c.x, p.y - c.y);
};
const formOf = (body: Body, scale = 1) => new Form(body, scale);

describe("a turned loft does not pinch", () => {
  for (const turn of [90, 180, 400]) {
    it(`${turn}°: every radius is at least 0.999 of the unturned form's`, () => {
      const outline = profile.rounded({ width: 70, depth: 50, corner: 8 });
      const plain = formOf(loft([outline.at(0), outline.scale(1.3).at(100)]));
      const turned = formOf(loft([outline.at(0), outline.scale(1.3).turn(turn).at(100)]));
      for (const z of [10, 35, 50, 80]) {
        for (const u of us) expect(radius(turned, u, z) / radius(plain, u, z)).toBeGreaterThan(0.999);
      }
      const last = turned.centre(100).turn - turned.centre(0).turn;
      expect((last * 180) / Math.PI).toBeCloseTo(turn, 9);
    });
  }
});

describe("height interpolation", () => {
  it("two sections: smooth is straight", () => {
    const sections = () =>
      [profile.circle({ diameter: 60 }).at(0), profile.circle({ diameter: 90 }).at(80)] as const;
    const smooth = formOf(loft(sections(), { side: "smooth" }));
    const straight = formOf(loft(sections(), { side: "straight" }));
    for (const z of [0, 13, 40, 79]) expect(radius(smooth, 0.2, z)).toBeCloseTo(radius(straight, 0.2, z), 10);
  });

  it("smooth makes no bulge that nobody wrote: between two levels the radius stays between theirs", () => {
    const outline = (diameter: number) => profile.circle({ diameter });
    const heights = [0, 20, 30, 80, 120];
    const diameters = [60, 90, 90, 40, 44];
    const form = formOf(loft(heights.map((z, i) => outline(diameters[i]).at(z))));
    for (let z = 0; z <= 120; z += 0.5) {
      const k = Math.min(
        3,
        heights.findLastIndex((height) => height <= z),
      );
      const [low, high] = [diameters[k], diameters[k + 1]].sort((a, b) => a - b);
      const found = 2 * radius(form, 0.3, z);
      expect(found).toBeGreaterThanOrEqual(low - 1e-9);
      expect(found).toBeLessThanOrEqual(high + 1e-9);
    }
  });

  it("goes through every section exactly", () => {
    const form = formOf(loft([50, 71, 63].map((diameter, i) => profile.circle({ diameter }).at(i * 40))));
    [50, 71, 63].forEach((diameter, i) => expect(2 * radius(form, 0.37, i * 40)).toBeCloseTo(diameter, 10));
  });
});

describe("correspondence", () => {
  it("a fillet that grows from 0 to 8 keeps the flats of a frustum plane", () => {
    const form = formOf(
      loft(
        [
          profile.polygon({ sides: 6, acrossFlats: 60 }).at(0),
          profile.polygon({ sides: 6, acrossFlats: 80, corner: 8 }).at(90),
        ],
        { side: "straight" },
      ),
    );
    // In the middle of a side the tangents along u stay parallel up the form.
    const column = form.column(1 / 12);
    const low = column.at(0);
    const high = column.at(90);
    const cross =
      (low.ux * high.uy - low.uy * high.ux) / Math.hypot(low.ux, low.uy) / Math.hypot(high.ux, high.uy);
    expect(Math.abs(cross)).toBeLessThan(1e-7);
  });

  it("octagon to circle: the radius is the octagon's below and the circle's above, by angle", () => {
    const form = formOf(
      loft([profile.polygon({ sides: 8, acrossFlats: 60 }).at(0), profile.circle({ diameter: 80 }).at(100)]),
    );
    for (const u of us) {
      expect(radius(form, u, 100)).toBeCloseTo(40, 8);
      const angle = u * 2 * Math.PI;
      const aside = ((angle + Math.PI / 8) % (Math.PI / 4)) - Math.PI / 8;
      const middle = Math.PI / 8 - Math.abs(aside);
      expect(radius(form, u, 0)).toBeCloseTo(30 / Math.cos(middle), 6);
    }
  });

  it("a square has a corner on +x, with both normals", () => {
    const form = formOf(loft([0, 50].map((z) => profile.polygon({ sides: 4, acrossFlats: 60 }).at(z))));
    const corner = form.column(0, 1).at(20);
    expect(corner.x).toBeCloseTo(30 * Math.SQRT2, 9);
    expect(corner.y).toBeCloseTo(0, 9);
    const [ax, ay] = normalOf(corner);
    const [bx, by] = normalOf(form.column(0, -1).at(20));
    expect([ax, ay]).toEqual([expect.closeTo(Math.SQRT1_2, 6), expect.closeTo(Math.SQRT1_2, 6)]);
    expect([bx, by]).toEqual([expect.closeTo(Math.SQRT1_2, 6), expect.closeTo(-Math.SQRT1_2, 6)]);
  });

  it("a wave has a crest on +x", () => {
    const form = formOf(
      loft([0, 50].map((z) => profile.wave({ diameter: 80, waves: 5, amplitude: 3 }).at(z))),
    );
    expect(radius(form, 0, 10)).toBeCloseTo(43, 8);
    expect(radius(form, 0.1, 10)).toBeCloseTo(37, 8);
  });
});

describe("outlines", () => {
  it("growing keeps the distance: a rounded rectangle, a polygon, an ellipse", () => {
    const distance = (a: Form, b: Form, u: number) => {
      const p = b.column(u).at(0);
      let least = Infinity;
      for (let i = 0; i < 4000; i++) {
        const q = a.column(i / 4000).at(0);
        least = Math.min(least, Math.hypot(p.x - q.x, p.y - q.y));
      }
      return least;
    };
    for (const outline of [
      profile.rounded({ width: 70, depth: 50, corner: 8 }),
      profile.ellipse({ width: 70, depth: 50 }),
      profile.polygon({ sides: 5, acrossFlats: 60, corner: 6 }),
    ]) {
      const tall = (o: typeof outline) => formOf(loft([o.at(0), o.at(10)]));
      for (const u of [0.03, 0.21, 0.48, 0.77])
        expect(distance(tall(outline), tall(outline.grow(3)), u)).toBeCloseTo(3, 3);
    }
  });

  it("growing inwards past collapse throws", () => {
    expect(() => profile.ellipse({ width: 70, depth: 40 }).grow(-15)).toThrow(/grow: -15 mm/);
    expect(() => profile.circle({ diameter: 20 }).grow(-10)).toThrow(/grow: -10 mm/);
  });

  it("sharp corners are mitred, fillets grow", () => {
    const form = formOf(
      loft([0, 10].map((z) => profile.polygon({ sides: 4, acrossFlats: 60 }).grow(5).at(z))),
    );
    expect(form.column(0).at(0).x).toBeCloseTo(35 * Math.SQRT2, 9);
  });
});
