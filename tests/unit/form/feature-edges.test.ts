import { describe, expect, it } from "vitest";
import { Form, normalOf } from "../../../src/dsl/form/form.ts";
import { loft, profile } from "../../../src/dsl/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import type { Outline } from "../../../src/dsl/kit/outline.ts";
import { makeGrid, type Grid } from "../../../src/dsl/mold/grid.ts";
import { angleBetween } from "../../../src/dsl/mold/keys.ts";
import { FEATURE_ANGLE } from "../../../src/dsl/tolerances.ts";
import { valueOf } from "../kit/evaluated.ts";
import { kidney } from "../outline/drawings.ts";

const HEIGHT = 100;
const gridOf = (body: Body) =>
  makeGrid(new Form(body, 1), { tolerance: 0.05, us: [], zs: [HEIGHT / 2], turn: 0.26 });

/**
 * Places of a level at which the columns of the grid hold normals more than the feature angle apart.
 * A corner is one column that is read from both sides, or, where it becomes a fillet, several that
 * stand in one place.
 */
function edgesOn({ columns, zs, x, y }: Grid, z: number): number {
  const row = zs.indexOf(z);
  const normals = new Map<string, [number, number, number][]>();
  columns.forEach(({ column, before }, i) => {
    const place = `${x[row][i]} ${y[row][i]}`;
    const here = [column, ...(before ? [before] : [])].map((one) => normalOf(one.at(z)));
    normals.set(place, [...(normals.get(place) ?? []), ...here]);
  });
  return [...normals.values()].filter((here) =>
    here.some((a) => here.some((b) => angleBetween(a, b) > FEATURE_ANGLE)),
  ).length;
}

/** Angle between the normals before and after u on a level, degrees. */
const fold = (form: Form, u: number, z: number) =>
  angleBetween(normalOf(form.column(u, 1).at(z)), normalOf(form.column(u, -1).at(z)));

const sharp = (sides: number, acrossFlats: number) => profile.polygon({ sides, acrossFlats });
/** Two outlines and at how many places of foot and lip the form is folded. */
const table: [string, Outline, Outline, { foot: number; lip: number }][] = [
  ["octagon to circle", sharp(8, 60), profile.circle({ diameter: 80 }), { foot: 8, lip: 0 }],
  ["square to 12-gon", sharp(4, 60), sharp(12, 70), { foot: 4, lip: 12 }],
  [
    "square, fillet 0 to 8",
    sharp(4, 60),
    profile.polygon({ sides: 4, acrossFlats: 70, corner: 8 }),
    { foot: 4, lip: 0 },
  ],
];

describe("edges of an outline run up the form", () => {
  for (const [name, foot, lip, folds] of table) {
    for (const turn of [0, 90, 180, 400]) {
      it(`${name}, turned ${turn}° and leaning: the grid has each edge as a column with both its normals`, () => {
        const body = loft([foot.at(0), lip.turn(turn).shift(9, -4).at(HEIGHT)], { side: "straight" });
        const grid = gridOf(body);
        expect(edgesOn(grid, 0)).toBe(folds.foot);
        expect(edgesOn(grid, HEIGHT)).toBe(folds.lip);
        const { form } = grid;
        // Nowhere else: between its columns the form is smooth on every level.
        for (let i = 0; i < 500; i++) {
          const u = (i + 0.37) / 500;
          for (const z of [0, 50, HEIGHT]) expect(fold(form, u, z)).toBeLessThan(0.1);
        }
      });
    }
  }
});

describe("a kidney drawn the other way around", () => {
  const backwards = kidney.replace(
    /M70 8 C.* Z/,
    "M70 8 C88 16 80 28 66 28 C36 26 40 56 68 52 C80 50 88 60 72 70 C35 90 0 70 0 40 C0 15 30 -12 70 8 Z",
  );
  const form = (svg: string) =>
    new Form(
      valueOf(
        `const k = profile.svg("kidney.svg", { width: 110 });
         export default loft([k.at(0), k.scale(1.2).turn(40).shift(5, 0).at(${HEIGHT})]);`,
        { "kidney.svg": svg },
      ) as Body,
      1,
    );

  it("is the same form, point by point", () => {
    expect(backwards).not.toBe(kidney);
    const [plain, clockwise] = [form(kidney), form(backwards)];
    for (let i = 0; i < 200; i++) {
      for (const z of [0, 40, HEIGHT]) {
        const [a, b] = [plain, clockwise].map((one) => one.column(i / 200).at(z));
        expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeLessThan(1e-6);
      }
    }
  });
});
