import type { Manifold } from "manifold-3d";
import { beforeAll, describe, expect, it } from "vitest";
import { partLocked } from "../../../src/dsl/checks/part-locked.ts";
import { englishSentence } from "../../../src/dsl/engine/findings.ts";
import { loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import { openingOrder } from "../../../src/dsl/leaving/order.ts";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import type { Vec3 } from "../../../src/dsl/mold/model.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { kernel, meshOf } from "../leaving/shapes.ts";
import { beakerMold, build } from "../mold/samples.ts";

beforeAll(loadKernel);

const box = (from: Vec3, to: Vec3) =>
  kernel.Manifold.cube(to.map((t, k) => t - from[k]) as Vec3).translate(from);

/** The sentences on solids that are opened along their pulls in place of a mold's own parts. */
function told(parts: [string, Manifold, Vec3][]): string[] {
  const leaving = parts.map(([name, solid, pull]) => ({ name, mesh: meshOf(solid), pull }));
  const { moves, stuck } = openingOrder(leaving);
  const sample = build(beakerMold(), "typing");
  const opened: BuiltMold["opened"] = {
    moves,
    stuck: stuck.map(({ part, direction, by }) => ({ part, direction: direction!, by })),
  };
  return sentences({ ...sample, opened });
}

const sentences = (built: BuiltMold) =>
  partLocked(built).map(({ code, variant, args }) =>
    englishSentence(variant === undefined ? code : `${code}-${variant}`, args),
  );

/** A pinwheel: four bars around a square hole, each with its end before the next one's flank. */
const pinwheel: [string, Manifold, Vec3][] = [
  ["wall-a", box([0, 0, 0], [30, 10, 10]), [1, 0, 0]],
  ["wall-b", box([30, 0, 0], [40, 30, 10]), [0, 1, 0]],
  ["wall-c", box([10, 30, 0], [40, 40, 10]), [-1, 0, 0]],
  ["wall-d", box([0, 10, 0], [10, 40, 10]), [0, -1, 0]],
];

describe("parts that hold each other are explained part by part", () => {
  it("a ring of four: each names the next and the whole ring, beginning with itself", () => {
    const found = told(pinwheel);
    expect(found).toHaveLength(4);
    expect(found[0]).toBe(
      "wall-a never comes off: drawn out, it runs into wall-b (100 mm² across its way, first near z 7 and 13°), and each part of the ring wall-a → wall-b → wall-c → wall-d → wall-a holds the one before it, so none can go first. Let the seams stand upright (follow: “flat”), split into more parts, or twist the form less.",
    );
    expect(found[2]).toMatch(
      /^wall-c .* runs into wall-d .* ring wall-c → wall-d → wall-a → wall-b → wall-c /,
    );
  });

  it("two that hold each other, and a third behind them that only waits", () => {
    const found = told([
      ["wall-a", box([0, 0, 0], [10, 10, 10]), [1, 0, 0]],
      ["wall-b", box([20, 0, 0], [30, 10, 10]), [-1, 0, 0]],
      ["wall-c", box([0, -30, 0], [10, -20, 10]), [0, 1, 0]],
      ["wall-d", box([0, 40, 0], [10, 50, 10]), [0, 1, 0]],
    ]);
    expect(found).toHaveLength(3);
    expect(found[0]).toContain("it runs into wall-b (100 mm² across its way");
    expect(found[0]).toContain("ring wall-a → wall-b → wall-a holds");
    expect(found[1]).toContain("ring wall-b → wall-a → wall-b holds");
    expect(found[2]).toMatch(
      /^wall-c never comes off: drawn out, it runs into wall-a \(100 mm² .*\), and that cannot leave either, being held by the ring wall-a → wall-b → wall-a\. Free that first\.$/,
    );
  });

  it("a part held by two is told both, and by the shorter ring", () => {
    const found = told([
      ["wall-a", box([0, 0, 0], [10, 20, 10]), [1, 0, 0]],
      ["wall-b", box([20, 0, 0], [30, 10, 10]), [0, 1, 0]],
      ["wall-c", box([20, 10, 0], [30, 20, 10]), [-1, 0, 0]],
    ]);
    expect(found[0]).toMatch(/runs into wall-b and wall-c .* ring wall-a → wall-c → wall-a holds/);
    expect(found[1]).toMatch(/runs into wall-c .* ring wall-b → wall-c → wall-a → wall-b holds/);
  });

  it("opened from any side, the same parts are told", () => {
    const turned = (order: number[]) =>
      told(order.map((i) => pinwheel[i])).map((sentence) => sentence.slice(0, 6));
    expect(turned([2, 0, 3, 1]).sort()).toEqual(turned([0, 1, 2, 3]));
  });

  it("160° of twist in three parts: a ring of real walls", () => {
    const outline = profile.wave({ diameter: 80, waves: 5, amplitude: 2 });
    const twisted = loft([outline.at(0), outline.turn(160).at(100)]);
    const built = build(mold(shrink(twisted, 0.12), { seams: split({ parts: 3, at: 0 }) }), "idle");
    const found = sentences(built);
    expect(found).toHaveLength(3);
    found.forEach((sentence, i) => {
      const part = `wall-${"abc"[i]}`;
      expect(sentence).toMatch(new RegExp(`ring ${part} → wall-. → (wall-. → )?${part} holds`));
    });
  });
});
