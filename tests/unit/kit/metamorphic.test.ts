import { beforeAll, describe, expect, it } from "vitest";
import type { Finding } from "../../../shared/finding.ts";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import type { Outline } from "../../../src/dsl/kit/outline.ts";
import { buildMold, type BuiltMold } from "../../../src/dsl/mold/build.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { areaOf, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { SURFACE } from "../../../src/dsl/tolerances.ts";
import { valueOf } from "./evaluated.ts";

beforeAll(loadKernel);

type Point = readonly [number, number];

/** How a design is written anew: all of it turned about the z axis, mirrored in y, larger. */
interface Change {
  turn?: number;
  mirror?: boolean;
  scale?: number;
}

/** A form as a maker writes it, fired mm: outlines that a change rewrites, and where they stand. */
interface Written {
  outline: (change: Change) => Outline;
  levels: { z: number; scale: number; turn: number; lean: Point }[];
  side: "smooth" | "straight";
  seams: number[];
}

/** An outline without any symmetry, so that a mirror image is another pot. */
const bean: Point[] = [
  [44, 4],
  [26, 30],
  [-16, 34],
  [-40, 6],
  [-20, -28],
  [22, -26],
];
const mirrored = (points: readonly Point[]) => points.map(([x, y]): Point => [x, -y]);
const radius = (degrees: number) => {
  const angle = (degrees * Math.PI) / 180;
  return 36 + 5 * Math.cos(2 * angle + 0.4) + 2.5 * Math.sin(3 * angle);
};

const forms: Record<string, Written> = {
  "octagon, leaning, straight": {
    outline: () => profile.polygon({ sides: 8, acrossFlats: 62, corner: 1 }),
    levels: [
      { z: 0, scale: 1, turn: 0, lean: [0, 0] },
      { z: 90, scale: 1.25, turn: 0, lean: [7, 3] },
    ],
    side: "straight",
    seams: [15, 135, 255],
  },
  "spline bean": {
    outline: ({ mirror }) => profile.spline(mirror ? mirrored(bean) : bean),
    levels: [
      { z: 0, scale: 1, turn: 0, lean: [0, 0] },
      { z: 80, scale: 1.15, turn: 0, lean: [6, 3] },
    ],
    side: "smooth",
    seams: [20, 140, 260],
  },
  "lobes that turn": {
    outline: () => profile.wave({ diameter: 76, waves: 5, amplitude: 2 }),
    levels: [
      { z: 0, scale: 1, turn: 0, lean: [0, 0] },
      { z: 40, scale: 1.1, turn: 10, lean: [2, 0] },
      { z: 95, scale: 1.2, turn: 18, lean: [5, -2] },
    ],
    side: "smooth",
    seams: [3, 122, 244],
  },
  "polar, in two parts": {
    outline: ({ mirror }) => profile.polar((angle) => radius(mirror ? 360 - angle : angle)),
    levels: [
      { z: 0, scale: 1, turn: 0, lean: [0, 0] },
      { z: 70, scale: 1.2, turn: 12, lean: [0, 4] },
    ],
    side: "smooth",
    seams: [50, 230],
  },
};

const wrap = (degrees: number) => ((degrees % 360) + 360) % 360;

function bodyOf(form: Written, change: Change): Body {
  const { turn = 0, mirror = false, scale = 1 } = change;
  const outline = form.outline(change);
  const cos = Math.cos((turn * Math.PI) / 180);
  const sin = Math.sin((turn * Math.PI) / 180);
  const sections = form.levels.map((level) => {
    const [x, y] = [level.lean[0] * scale, (mirror ? -1 : 1) * level.lean[1] * scale];
    return outline
      .scale(level.scale * scale)
      .turn((mirror ? -level.turn : level.turn) + turn)
      .shift(x * cos - y * sin, x * sin + y * cos)
      .at(level.z * scale);
  });
  return loft(sections, { side: form.side });
}

function build(form: Written, change: Change = {}): BuiltMold {
  const { turn = 0, mirror = false } = change;
  const seams = form.seams.map((angle) => wrap((mirror ? -angle : angle) + turn)).sort((a, b) => a - b);
  const made = mold(shrink(bodyOf(form, change), 0.12), { seams: split({ parts: seams.length, at: seams }) });
  return buildMold(made, "form", "idle");
}

/** Where a point of the plain mold stands after a change. */
function follow([x, y, z]: readonly number[], { turn = 0, mirror = false, scale = 1 }: Change): number[] {
  const cos = Math.cos((turn * Math.PI) / 180);
  const sin = Math.sin((turn * Math.PI) / 180);
  const side = mirror ? -y : y;
  return [scale * (x * cos - side * sin), scale * (x * sin + side * cos), scale * z];
}

const walls = (built: BuiltMold) => built.model.parts.filter((part) => part.role === "wall");
const distance = (a: readonly number[], b: readonly number[]) =>
  Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

/** Each wall of the plain mold with the one that it became: the one whose pull is nearest. */
function pairs(plain: BuiltMold, changed: BuiltMold, change: Change) {
  const taken = new Set<string>();
  return walls(plain).map((wall) => {
    const pull = follow(wall.pull!, { ...change, scale: 1 });
    const nearest = walls(changed)
      .filter((one) => !taken.has(one.name))
      .sort((a, b) => distance(a.pull!, pull) - distance(b.pull!, pull))[0];
    taken.add(nearest.name);
    return { wall, became: nearest, pull };
  });
}

/** Findings that speak of the clay alone, not of plastic whose sizes stay the same when the pot grows. */
const OF_THE_FORM = ["undercut", "draft-low"];

function sameForm(plain: BuiltMold, changed: BuiltMold, change: Change): void {
  const { scale = 1 } = change;
  // A chord lies within the tolerance of the surface, so a volume is off by no more than that over its area.
  const room = SURFACE.idle * (areaOf(plain.clay.mesh) * scale * scale + areaOf(changed.clay.mesh));
  const expected = volumeOf(plain.clay.mesh) * scale * scale * scale;
  expect(Math.abs(volumeOf(changed.clay.mesh) - expected)).toBeLessThan(room);
  for (const { wall, became, pull } of pairs(plain, changed, change)) {
    expect(distance(became.pull!, pull), `${wall.name} pull`).toBeLessThan(0.02);
    expect(Math.abs(became.draftDeg! - wall.draftDeg!), `${wall.name} draft`).toBeLessThan(0.5);
    const depth = wall.undercutMm * scale;
    expect(Math.abs(became.undercutMm - depth), `${wall.name} depth`).toBeLessThan(0.05 + 0.02 * depth);
    const area = wall.undercutMm2 * scale * scale;
    expect(Math.abs(became.undercutMm2 - area), `${wall.name} area`).toBeLessThan(1 + 0.05 * area);
  }
}

function sameFindings(plain: BuiltMold, changed: BuiltMold, change: Change): void {
  const { scale = 1 } = change;
  const names = new Map(pairs(plain, changed, change).map(({ wall, became }) => [wall.name, became.name]));
  const key = (finding: Finding, part = finding.part) => `${finding.code} ${finding.severity} ${part ?? ""}`;
  const chosen = (built: BuiltMold) =>
    checkMold(built).filter((finding) => scale === 1 || OF_THE_FORM.includes(finding.code));
  const before = chosen(plain);
  const after = chosen(changed);
  expect(after.map((finding) => key(finding)).sort()).toEqual(
    before.map((finding) => key(finding, finding.part && (names.get(finding.part) ?? finding.part))).sort(),
  );
}

const changes: [string, Change][] = [
  ["turned by 37°", { turn: 37 }],
  ["turned by 211°", { turn: 211 }],
  ["mirrored", { mirror: true }],
  ["half as large", { scale: 0.5 }],
  ["three times as large", { scale: 3 }],
];

/** Made by the first test that asks. */
function once<T>(make: () => T): () => T {
  let made: T | undefined;
  return () => (made ??= make());
}

for (const [name, form] of Object.entries(forms)) {
  describe(`${name}: the answer follows the design`, () => {
    const plain = once(() => build(form));
    for (const [title, change] of changes) {
      it(title, () => {
        const changed = build(form, change);
        sameForm(plain(), changed, change);
        sameFindings(plain(), changed, change);
      });
    }
  });
}

/** The other way around from the same start. */
const backwards = ([first, ...rest]: readonly Point[]): Point[] => [first, ...rest.reverse()];
const drawing = (points: readonly Point[]) =>
  `<svg width="200mm" height="200mm" viewBox="0 0 200 200"><path d="M${points.map(([x, y]) => `${100 + x} ${100 - y}`).join(" L")} Z"/></svg>`;
const octagon = Array.from({ length: 8 }, (_, i): Point => {
  const angle = ((i + 0.3) * Math.PI) / 4;
  return [34 * Math.cos(angle), (i === 2 ? 40 : 30) * Math.sin(angle)];
});

describe("an outline written clockwise is the same pot", () => {
  const design = (outline: string) => `const outline = ${outline};
    export default mold(shrink(loft([outline.at(0), outline.scale(1.15).turn(5).at(70)]), 0.12), {
      seams: split({ parts: 3, at: [20, 140, 260] }),
    });`;
  const built = (outline: string, files: Record<string, string> = {}) =>
    buildMold(valueOf(design(outline), files) as Mold, "form", "idle");
  const spline = (points: readonly Point[]) => `profile.spline(${JSON.stringify(points)})`;

  const pairsOfWays: [string, () => [BuiltMold, BuiltMold]][] = [
    ["a spline", () => [built(spline(bean)), built(spline(backwards(bean)))]],
    [
      "a drawing with corners",
      () => {
        const svg = `profile.svg("outline.svg")`;
        return [
          built(svg, { "outline.svg": drawing(octagon) }),
          built(svg, { "outline.svg": drawing(backwards(octagon)) }),
        ];
      },
    ],
  ];
  for (const [name, make] of pairsOfWays) {
    it(name, () => {
      const [plain, clockwise] = make();
      sameForm(plain, clockwise, {});
      sameFindings(plain, clockwise, {});
      expect(volumeOf(clockwise.clay.mesh) / volumeOf(plain.clay.mesh)).toBeCloseTo(1, 6);
    });
  }
});
