import { describe, expect, it } from "vitest";
import { loft, profile, shrink } from "../../../src/dsl/index.ts";
import { Form } from "../../../src/dsl/form/form.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import { SeamJudge } from "../../../src/dsl/mold/seam-judge.ts";
import { evenSeams } from "../../../src/dsl/mold/seam-plan.ts";
import { SeamSearch } from "../../../src/dsl/mold/seam-search.ts";
import { turnSymmetry } from "../../../src/dsl/mold/seam-symmetry.ts";
import { SeamTrial } from "../../../src/dsl/mold/seam-trial.ts";
import { heldBy, randomForm, REACH, scan } from "./seam-scan.ts";

const options = { level: false, up: 1, reach: REACH } as const;
const formOf = (body: Body) => new Form(shrink(body, 0), 1);
const best = (form: Form, parts: number, follow: "form" | "flat" = "form") =>
  new SeamSearch(form, options).best({ parts, follow, call: -1 });

/** What `npm run bench:seams` looks at in full; here every twelfth degree of three forms. */
describe("a scan around the form finds nothing better", () => {
  for (const seed of [4, 8, 9]) {
    it(`seed ${seed}`, () => {
      const { form, cut } = randomForm(seed);
      const found = new SeamSearch(form, options).best(cut);
      const trial = new SeamTrial(form);
      expect(heldBy(trial, trial.solid(), found.plans)).toBeLessThanOrEqual(scan(form, cut, 12).area + 1);
    });
  }
});

describe("where the best seams stand", () => {
  const prism = (sides: number) => {
    const outline = profile.polygon({ sides, acrossFlats: 80 });
    return formOf(loft([outline.at(0), outline.at(90)], { side: "straight" }));
  };

  /** An n-gon prism in k parts with seams on its corners has a draft of 90 − (n/k − 1)·180/n (derived). */
  it.each([
    [4, 2, 45],
    [6, 2, 30],
    [6, 3, 60],
    [8, 2, 22.5],
    [8, 4, 67.5],
  ])("a sharp prism of %i sides in %i parts: on its corners, %f° of draft", (sides, parts, draft) => {
    const found = best(prism(sides), parts);
    expect(found.onLine).toBe(true);
    expect(found.draftDeg).toBeCloseTo(draft, 3);
    expect(found.undercutMm2).toBe(0);
  });

  it("on the crests of waves, never in their valleys", () => {
    const wave = profile.wave({ diameter: 80, waves: 6, amplitude: 4 });
    const found = best(formOf(loft([wave.at(0), wave.at(90)])), 3);
    for (const { u } of found.plans) expect(Math.abs(u * 6 - Math.round(u * 6))).toBeLessThan(0.02);
  });

  it("a design that is turned has its seams turned", () => {
    const outline = (turn: number) => profile.rounded({ width: 70, depth: 50, corner: 10 }).turn(turn);
    const at = (turn: number) =>
      best(formOf(loft([outline(turn).at(0), outline(turn).scale(1.2).at(80)])), 4, "flat").draftDeg;
    expect(at(30)).toBeCloseTo(at(0), 1);
  });
});

describe("symmetry", () => {
  it.each([2, 3])(
    "one of %i parts that are alike stands for all: held, draft and pulls are those of each",
    (parts) => {
      const wave = profile.wave({ diameter: 80, waves: 12, amplitude: 2.5 });
      const form = formOf(
        loft([wave.at(0), wave.scale(1.2).turn(10).at(60), wave.scale(0.7).turn(20).at(130)]),
      );
      const trial = new SeamTrial(form);
      const judge = new SeamJudge(trial, options);
      const plans = evenSeams(form, { parts, follow: "flat", call: -1 }, 0.013);
      const seeds = () => [];
      const [one, each] = [true, false].map((alike) => judge.judge(plans, seeds, alike));
      expect(one.facing).toBeGreaterThan(5);
      expect(one.facing / each.facing).toBeCloseTo(1, 3);
      expect(one.draftDeg).toBeCloseTo(each.draftDeg, 1);
      expect(judge.undercut(one) / judge.undercut({ ...one, alike: false })).toBeCloseTo(1, 3);
      const [polished, eachPolished] = [one, { ...one, alike: false }].map((judged) => judge.polish(judged));
      expect(polished.facing / eachPolished.facing).toBeCloseTo(1, 2);
    },
  );

  const of = (body: Body) => turnSymmetry(new SeamTrial(formOf(body)));
  const wave = profile.wave({ diameter: 80, waves: 5, amplitude: 3 });
  const circle = profile.circle({ diameter: 80 });
  it.each([
    ["five waves that twist", loft([wave.at(0), wave.turn(30).at(90)]), 5],
    ["five waves that lean", loft([wave.at(0), wave.shift(5, 0).at(90)]), 1],
    ["a round pot", loft([circle.at(0), circle.scale(1.3).at(90)]), Infinity],
    ["an ellipse", loft([profile.ellipse({ width: 80, depth: 60 }).at(0), circle.at(90)]), 2],
  ] as const)("%s", (_, body, order) => expect(of(body)).toBe(order));
});
