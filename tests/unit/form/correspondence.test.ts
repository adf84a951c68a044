import { describe, expect, it } from "vitest";
import { Form, normalOf } from "../../../src/dsl/form/form.ts";
import { formStarAngle } from "../../../src/dsl/form/star.ts";
import { loft, profile } from "../../../src/dsl/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import type { Outline } from "../../../src/dsl/kit/outline.ts";
import { kidney } from "../outline/drawings.ts";
import { valueOf } from "../kit/evaluated.ts";

const us = Array.from({ length: 120 }, (_, i) => (i + 0.31) / 120);
const at = (form: Form, u: number, z: number) => {
  const p = form.column(u).at(z);
  const c = form.centre(z);
  return { x: p.x - c.x, y: p.y - c.y };
};
const radius = (form: Form, u: number, z: number) => Math.hypot(at(form, u, z).x, at(form, u, z).y);
const span = (form: Form) => {
  let least = Infinity;
  for (const z of [0, 25, 50, 75, 100]) for (const u of us) least = Math.min(least, radius(form, u, z));
  return least;
};

const octagon = profile.polygon({ sides: 8, acrossFlats: 60, corner: 4 });
const square = profile.polygon({ sides: 4, acrossFlats: 60 });
const twelve = profile.polygon({ sides: 12, acrossFlats: 70, corner: 2 });
const circle = profile.circle({ diameter: 80 });

/** Every pair of the table, from foot to lip over 100 mm; `turn` is the lip's. */
const pairs: [string, Outline, Outline][] = [
  ["octagon to circle", octagon, circle],
  ["square to 12-gon", square, twelve],
  ["sharp to fillet 8", square, profile.polygon({ sides: 4, acrossFlats: 70, corner: 8 })],
  [
    "ellipse to superellipse",
    profile.ellipse({ width: 70, depth: 50 }),
    profile.superellipse({ width: 80, depth: 60 }),
  ],
  ["wave to circle", profile.wave({ diameter: 60, waves: 7, amplitude: 2 }), circle],
  [
    "spline to rounded",
    profile.spline([
      [35, 5],
      [8, 28],
      [-30, 12],
      [-24, -20],
      [12, -27],
    ]),
    profile.rounded({ width: 70, depth: 50, corner: 9 }),
  ],
];

describe("no pinch: turned, every radius is at least 0.999 of the unturned form's", () => {
  for (const [name, foot, lip] of pairs) {
    for (const turn of [90, 180, 400]) {
      it(`${name}, turned ${turn}°, leaning`, () => {
        for (const side of ["smooth", "straight"] as const) {
          const plain = new Form(loft([foot.at(0), lip.at(100)], { side }), 1);
          const turned = new Form(loft([foot.at(0), lip.shift(15, -8).turn(turn).at(100)], { side }), 1);
          for (const z of [0, 20, 50, 80, 100])
            for (const u of us) expect(radius(turned, u, z) / radius(plain, u, z)).toBeGreaterThan(0.999);
          expect(formStarAngle(turned)).toBeLessThan(80);
        }
      });
    }
  }
});

describe("correspondence", () => {
  for (const [name, foot, lip] of pairs) {
    it(`${name}: u runs once around on every level, without going back`, () => {
      const form = new Form(loft([foot.at(0), lip.at(100)]), 1);
      for (const z of [0, 33, 100]) {
        let around = 0;
        for (let i = 0; i < 400; i++) {
          const p = at(form, i / 400, z);
          const q = at(form, ((i + 1) / 400) % 1, z);
          const step = Math.atan2(p.x * q.y - p.y * q.x, p.x * q.x + p.y * q.y);
          expect(step).toBeGreaterThan(-1e-9);
          around += step;
        }
        expect(around).toBeCloseTo(2 * Math.PI, 6);
      }
    });

    it(`${name}: derivatives are those of the points`, () => {
      const form = new Form(loft([foot.at(0), lip.turn(30).at(100)]), 1);
      for (const u of us.filter((_, i) => i % 7 === 0)) {
        if (form.marks.some((mark) => Math.abs(mark.u - u) < 1e-4)) continue;
        const p = form.column(u).at(40);
        const [a, b] = [form.column(u - 1e-6).at(40), form.column(u + 1e-6).at(40)];
        const size = Math.hypot(p.ux, p.uy);
        expect(Math.abs((b.x - a.x) / 2e-6 - p.ux) / size).toBeLessThan(2e-3);
        expect(Math.abs((b.y - a.y) / 2e-6 - p.uy) / size).toBeLessThan(2e-3);
      }
    });
  }

  it("by angle: a mark of either outline is a mark of the form; corners stay corners", () => {
    const form = new Form(loft([square.at(0), twelve.at(100)]), 1);
    const corners = form.marks.filter((mark) => mark.corner).map((mark) => Math.round(mark.u * 1200) / 100);
    expect(corners).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
    // A sharp corner at the foot keeps both normals.
    const [after, before] = [1, -1].map((side) => normalOf(form.column(0.25, side as 1 | -1).at(0)));
    expect(after[0] * before[0] + after[1] * before[1]).toBeLessThan(0.2);
  });

  it("a spline that starts away from +x corresponds by its own angle", () => {
    const [, , , , , [, spline, rounded]] = pairs;
    const form = new Form(loft([spline.at(0), rounded.at(100)]), 1);
    for (const u of us)
      for (const z of [0, 50, 100]) {
        const p = at(form, u, z);
        const angle = Math.atan2(p.y, p.x) / (2 * Math.PI);
        expect(Math.abs(angle - u - Math.round(angle - u))).toBeLessThan(1e-8);
      }
  });
});

describe("a kidney from a drawing", () => {
  const body = (more = "") =>
    valueOf(
      `const k = profile.svg("kidney.svg", { width: 110 });
       export default loft([k.at(0), k.scale(1.2)${more}.at(60)]);`,
      { "kidney.svg": kidney },
    ) as Body;

  it("is not seen whole from its middle, and corresponds with itself point by point", () => {
    const form = new Form(body(), 1);
    expect(formStarAngle(form)).toBeGreaterThan(90);
    for (const u of us) {
      const [low, high] = [at(form, u, 0), at(form, u, 60)];
      expect(high.x).toBeCloseTo(1.2 * low.x, 6);
      expect(high.y).toBeCloseTo(1.2 * low.y, 6);
    }
  });

  it("does not pinch when it turns", () => {
    const [plain, turned] = [new Form(body(), 1), new Form(body(".turn(90)"), 1)];
    for (const u of us)
      for (const z of [0, 30, 60]) expect(radius(turned, u, z)).toBeGreaterThan(0.999 * radius(plain, u, z));
  });

  it("goes over into a circle by arc length, once around", () => {
    const mixed = valueOf(
      `export default loft([profile.svg("kidney.svg").at(0), profile.circle({ diameter: 120 }).at(80)]);`,
      { "kidney.svg": kidney },
    ) as Body;
    const form = new Form(mixed, 1);
    const gone = (z: number) => {
      const steps = Array.from({ length: 500 }, (_, i) => {
        const [p, q] = [at(form, i / 500, z), at(form, ((i + 1) / 500) % 1, z)];
        return Math.hypot(p.x - q.x, p.y - q.y);
      });
      return [Math.min(...steps), Math.max(...steps)];
    };
    for (const z of [0, 80]) expect(gone(z)[1] / gone(z)[0]).toBeLessThan(1.6);
    expect(span(form)).toBeGreaterThan(0.5);
  });

  it("two drawings with equally many corners correspond corner by corner", () => {
    const star = (deep: number) =>
      `<svg><polygon points="${Array.from({ length: 10 }, (_, i) => {
        const r = i % 2 ? deep : 50;
        return `${r * Math.cos((i * Math.PI) / 5)},${r * Math.sin((i * Math.PI) / 5)}`;
      }).join(" ")}"/></svg>`;
    const form = new Form(
      valueOf(
        `export default loft([profile.svg("a.svg").at(0), profile.svg("b.svg").at(50)], { side: "straight" });`,
        { "a.svg": star(4), "b.svg": star(30) },
      ) as Body,
      1,
    );
    const corners = form.marks.filter((mark) => mark.corner);
    expect(corners).toHaveLength(10);
    corners.forEach(({ u }, i) => {
      expect(radius(form, u, 0)).toBeCloseTo(i % 2 ? 4 : 50, 3);
      expect(radius(form, u, 50)).toBeCloseTo(i % 2 ? 30 : 50, 3);
    });
  });
});
