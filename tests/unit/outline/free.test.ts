import { describe, expect, it } from "vitest";
import { profile } from "../../../src/dsl/index.ts";
import { Outline } from "../../../src/dsl/kit/outline.ts";
import { samplePoints, signedArea } from "../../../src/dsl/outline/path.ts";
import { starAngle } from "../../../src/dsl/outline/star.ts";
import { kidney } from "./drawings.ts";
import { evaluateText, valueOf, withImports } from "../kit/evaluated.ts";

const pointsOf = (outline: Outline, each = 200) => samplePoints(outline.curve.segments, each);
const lengthOf = (outline: Outline) =>
  outline.curve.segments.reduce((sum, segment) => sum + segment.length, 0);
/** Least distance of each point from an outline, by sampling. */
const distances = (points: { x: number; y: number }[], outline: Outline) => {
  const near = pointsOf(outline, 3000 / outline.curve.segments.length);
  return points.map((p) => Math.min(...near.map((q) => Math.hypot(p.x - q.x, p.y - q.y))));
};

describe("profile.superellipse", () => {
  it("every point lies on |2x/width|ᵖ + |2y/depth|ᵖ = 1", () => {
    for (const power of [1.5, 2.5, 4, 12]) {
      for (const { x, y } of pointsOf(profile.superellipse({ width: 90, depth: 60, power })))
        expect(Math.abs(x / 45) ** power + Math.abs(y / 30) ** power).toBeCloseTo(1, 9);
    }
  });

  it("power 2 is the ellipse, 2.5 the default", () => {
    const ellipse = profile.ellipse({ width: 90, depth: 60 });
    expect(lengthOf(profile.superellipse({ width: 90, depth: 60, power: 2 }))).toBeCloseTo(
      lengthOf(ellipse),
      6,
    );
    expect(lengthOf(profile.superellipse({ width: 90, depth: 60 }))).toBeCloseTo(
      lengthOf(profile.superellipse({ width: 90, depth: 60, power: 2.5 })),
      12,
    );
  });

  it("power 4 encloses 4ab·Γ(5/4)²/Γ(3/2) (Lamé curve, standard geometry)", () => {
    const area = signedArea(profile.superellipse({ width: 80, depth: 60, power: 4 }).curve);
    expect(area / ((4 * 40 * 30 * 0.9064024771 ** 2) / 0.8862269255)).toBeCloseTo(1, 4);
  });

  it("grows at its distance", () => {
    const outline = profile.superellipse({ width: 80, depth: 60 });
    for (const d of distances(pointsOf(outline.grow(3), 9), outline)) expect(d).toBeCloseTo(3, 3);
    for (const d of distances(pointsOf(outline.grow(-3), 9), outline)) expect(d).toBeCloseTo(3, 3);
  });
});

describe("profile.polar", () => {
  it("is the wave that its function describes", () => {
    const outline = profile.polar((angle) => 40 + 3 * Math.cos((5 * angle * Math.PI) / 180));
    for (const { x, y } of pointsOf(outline, 997))
      expect(Math.hypot(x, y)).toBeCloseTo(40 + 3 * Math.cos(5 * Math.atan2(y, x)), 6);
    expect(outline.curve.corners).toEqual([]);
  });

  it("finds the corners of a square wherever it is turned", () => {
    for (const turn of [0, 13.37, 45, 60.123]) {
      const outline = profile.polar((angle) => {
        const a = ((angle - turn) * Math.PI) / 180;
        return 30 / Math.max(Math.abs(Math.cos(a)), Math.abs(Math.sin(a)));
      });
      expect(outline.curve.corners).toHaveLength(4);
      for (const i of outline.curve.corners) {
        const p = outline.curve.segments[i].at(0);
        expect(Math.hypot(p.x, p.y)).toBeCloseTo(30 * Math.SQRT2, 3);
      }
      expect(signedArea(outline.curve)).toBeCloseTo(3600, 1);
      // Mitred, not rounded.
      expect(signedArea(outline.grow(5).curve)).toBeCloseTo(4900, 1);
      expect(signedArea(outline.grow(-5).curve)).toBeCloseTo(2500, 1);
    }
  });

  it("what does not close, jumps or is no radius throws", () => {
    expect(() => profile.polar((angle) => 30 + angle / 36)).toThrow(
      /does not close: the radius is 30 mm at 0° and 40 mm/,
    );
    expect(() => profile.polar((angle) => (angle > 100 && angle < 200 ? 50 : 40))).toThrow(
      /jumps from 40 to 50 mm at 100/,
    );
    expect(() => profile.polar((angle) => (angle === 90 ? NaN : 40))).toThrow(
      /radius at 90° must be a finite number/,
    );
    expect(() => profile.polar(() => -3)).toThrow(/radius at 0° is -3; allowed/);
    expect(() => profile.polar(40 as never)).toThrow(/a function from an angle to a radius, got 40/);
  });
});

const bean = [
  [50, 0],
  [30, 32],
  [-20, 36],
  [-45, 5],
  [-22, -30],
  [25, -28],
] as const;

describe("profile.spline", () => {
  it("goes through its points, starts at the first, and is smooth", () => {
    const outline = profile.spline(bean);
    bean.forEach(([x, y], i) => {
      const p = outline.curve.segments[i].at(0);
      expect([p.x, p.y]).toEqual([expect.closeTo(x, 9), expect.closeTo(y, 9)]);
      const before = outline.curve.segments[(i + 5) % 6].at(1);
      expect(p.tx * before.ty - p.ty * before.tx).toBeCloseTo(0, 9);
    });
    expect(outline.curve.corners).toEqual([]);
  });

  it("clockwise points give the same curve from the same start", () => {
    const clockwise = [bean[0], ...bean.slice(1).reverse()];
    const [a, b] = [profile.spline(bean), profile.spline(clockwise)];
    pointsOf(a, 20).forEach((p, i) => {
      const q = pointsOf(b, 20)[i];
      expect([q.x, q.y]).toEqual([expect.closeTo(p.x, 9), expect.closeTo(p.y, 9)]);
    });
  });

  it("twelve points of a circle are round within 0.02 mm", () => {
    const outline = profile.spline(
      Array.from(
        { length: 12 },
        (_, i) => [40 * Math.cos((i * Math.PI) / 6), 40 * Math.sin((i * Math.PI) / 6)] as const,
      ),
    );
    for (const p of pointsOf(outline, 50)) expect(Math.abs(Math.hypot(p.x, p.y) - 40)).toBeLessThan(0.02);
  });

  it("away from the origin it turns about its own middle", () => {
    const far = profile.spline(bean.map(([x, y]) => [x + 300, y + 100] as const));
    expect(Math.hypot(far.cx - 300, far.cy - 100)).toBeLessThan(15);
    expect(starAngle(far.curve)).toBeLessThan(90);
  });

  it("grows at its distance, folds throw", () => {
    const outline = profile.spline(bean);
    for (const d of distances(pointsOf(outline.grow(4), 7), outline)) expect(d).toBeCloseTo(4, 2);
    for (const d of distances(pointsOf(outline.grow(-4), 7), outline)) expect(d).toBeCloseTo(4, 2);
    expect(() => outline.grow(-32)).toThrow(/grow: -32 mm is more than this outline has/);
  });

  it("one point, points on a line, doubled points and a figure of eight throw", () => {
    expect(() => profile.spline([[1, 2]])).toThrow(/at least 3 points, this has 1/);
    expect(() =>
      profile.spline([
        [0, 0],
        [10, 0],
        [20, 0],
      ]),
    ).toThrow(/enclose nothing/);
    expect(() =>
      profile.spline([
        [0, 0],
        [10, 0],
        [10, 0],
        [0, 20],
      ]),
    ).toThrow(/points 2 and 3 are the same/);
    expect(() =>
      profile.spline([
        [0, 0],
        [40, 30],
        [40, 0],
        [0, 30],
      ]),
    ).toThrow(/crosses itself|encloses? nothing/);
    expect(() =>
      profile.spline([
        [0, 0],
        [10, NaN],
        [10, 5],
      ]),
    ).toThrow(/y of point 2 must be a finite number, got NaN/);
    expect(() =>
      profile.spline([
        [0, 0],
        [10, 3, 4],
        [10, 5],
      ] as never),
    ).toThrow(/an array of points \[x, y\]/);
  });
});

describe("profile.svg", () => {
  const svg = (body: string, attributes = `viewBox="0 0 100 100"`) =>
    `<svg xmlns="http://www.w3.org/2000/svg" ${attributes}>${body}</svg>`;
  const outlineOf = (text: string, width = "") => {
    const value = valueOf(`export default profile.svg("a.svg"${width});`, { "a.svg": text });
    if (!(value instanceof Outline)) throw new Error("no outline");
    return value;
  };
  const problemOf = (call: string, files: Record<string, string>) =>
    evaluateText(withImports(`\nexport default ${call};`), files).problem;

  it("a rectangle: corners, size, middle on the origin, start on +x", () => {
    const outline = outlineOf(svg(`<rect x="10" y="20" width="60" height="40"/>`));
    expect(signedArea(outline.curve)).toBeCloseTo(2400, 6);
    expect(outline.curve.corners).toHaveLength(4);
    const start = outline.curve.segments[0].at(0);
    expect([start.x, start.y]).toEqual([expect.closeTo(30, 9), expect.closeTo(0, 6)]);
  });

  it("width scales, mm and inches count, a group's transform counts", () => {
    const rect = `<rect width="60" height="40"/>`;
    expect(signedArea(outlineOf(svg(rect), ", { width: 90 }").curve)).toBeCloseTo(5400, 6);
    const mm = outlineOf(svg(rect, `width="200mm" height="200mm" viewBox="0 0 100 100"`));
    expect(signedArea(mm.curve)).toBeCloseTo(9600, 6);
    const turned = outlineOf(svg(`<g transform="rotate(90) scale(2, 1)">${rect}</g>`));
    expect(signedArea(turned.curve)).toBeCloseTo(4800, 6);
    const top = pointsOf(turned, 9).reduce((most, p) => Math.max(most, p.y), 0);
    expect(top).toBeCloseTo(60, 6);
  });

  it("up in the drawing is to the back, whichever way the path runs", () => {
    for (const d of ["M0 0 L40 0 L40 30 Z", "M0 0 L40 30 L40 0 Z"]) {
      const points = pointsOf(outlineOf(svg(`<path d="${d}"/>`)), 3);
      // The right angle is up right in the drawing: y points down there.
      const corner = points.reduce((best, p) => (p.x + p.y > best.x + best.y ? p : best));
      expect([corner.x, corner.y]).toEqual([expect.closeTo(40 / 3, 6), expect.closeTo(10, 6)]);
    }
  });

  it("a circle of arcs is round and has no corner", () => {
    const outline = outlineOf(svg(`<circle cx="50" cy="50" r="30"/>`));
    expect(outline.curve.corners).toEqual([]);
    for (const p of pointsOf(outline, 60)) expect(Math.hypot(p.x, p.y)).toBeCloseTo(30, 1);
  });

  it("a kidney is read past what is not closed, and is not star-shaped", () => {
    const outline = outlineOf(kidney);
    expect(starAngle(outline.curve)).toBeGreaterThan(90);
    expect(signedArea(outline.curve)).toBeGreaterThan(2000);
  });

  it("takes part in the design, also while it is missing", () => {
    const evaluation = evaluateText(withImports(`export default profile.svg("a.svg");`), {});
    expect(evaluation.problem?.message).toBe("profile.svg: “a.svg” cannot be used: there is no such file.");
    expect(evaluation.files).toContain("/designs/a.svg");
    expect(evaluation.problem?.place).toMatchObject({ line: 1 });
  });

  it("what is no closed path throws on the line, with the reason", () => {
    const reasons: [string, RegExp][] = [
      ["not xml at all", /line 1 does not read as XML/],
      ["<html/>", /there is no <svg> in it/],
      [svg(`<path d="M0 0 L10 10"/>`), /there is no closed path in it/],
      [svg(`<path d="M0 0 L10 ten Z"/>`), /a path in it does not read/],
      [svg(`<path d="M0 0 L10 0 L20 0 Z"/>`), /encloses nothing/],
      [svg(`<path d="M0 0 L40 40 L40 0 L0 41 Z"/>`), /crosses itself near/],
      [svg(`<rect width="9000" height="20"/>`), /9000 mm wide; give a width/],
    ];
    for (const [text, reason] of reasons) {
      const problem = problemOf(`profile.svg("a.svg")`, { "a.svg": text });
      expect(problem?.code).toBe("kit-conflict");
      expect(problem?.message).toMatch(reason);
      expect(problem?.place).toMatchObject({ line: 2, column: 28 });
    }
    expect(problemOf(`profile.svg("../a.svg")`, {})?.message).toMatch(/lies outside of designs/);
    expect(problemOf(`profile.svg("/etc/passwd")`, {})?.message).toMatch(
      /named from the design's own folder/,
    );
    expect(problemOf(`profile.svg("")`, {})?.message).toMatch(/the name of a file/);
  });
});
