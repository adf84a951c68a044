import { beforeAll, describe, expect, it } from "vitest";
import { checkMold } from "../../../src/dsl/checks/index.ts";
import { key, loft, mold, profile, revolve, shrink, split } from "../../../src/dsl/index.ts";
import type { MoldOptions } from "../../../src/dsl/kit/mold.ts";
import type { SplitOptions } from "../../../src/dsl/kit/split.ts";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import { adviseLevels } from "../../../src/dsl/mold/level-advice.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel, withScope } from "../../../src/dsl/solid/kernel.ts";
import { boundsOf, facetCross, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { random } from "./inside.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

/** A bottle with a lip that flares 36°, 156 mm high. */
const bottle = () =>
  revolve([
    [30, 0],
    [36, 50],
    [22, 100],
    [24, 130],
    [42, 156],
  ]);

const stacked = (cut: SplitOptions, more: MoldOptions = {}) =>
  mold(shrink(bottle(), 0.12), { slab: 5, seams: split(cut), keys: key({ size: 6 }), ...more });

const K = 1 / (1 - 0.12);

/** Everything that export asks of a mold. */
function holds(built: BuiltMold): void {
  for (const part of built.model.parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
  expect(proveMold(built).outerMm3).toBeGreaterThan(0);
}

const names = ({ model }: BuiltMold) => model.parts.map(({ name }) => name);

describe("a mold of stacked rings", () => {
  it("has the walls of each ring, names them from the foot up, and is taken off from the top down", () => {
    const built = build(stacked({ parts: 3, levels: [60, 118] }));
    holds(built);
    expect(names(built)).toEqual(
      [1, 2, 3].flatMap((ring) => ["a", "b", "c"].map((part) => `ring-${ring}-${part}`)),
    );
    const order = built.model.moves.map(({ part }) => Number(part[5]));
    expect(order).toEqual([3, 3, 3, 2, 2, 2, 1, 1, 1]);
    expect(built.opened.stuck).toEqual([]);
  });

  it("standing on its rim it is taken off from the foot up, and the tongues are on the lower ring", () => {
    const built = build(stacked({ parts: 2, levels: [60] }, { stand: "rim" }), "idle");
    holds(built);
    expect(built.model.moves.map(({ part }) => part[5]).join("")).toBe("1122");
    const tongues = built.model.keys.filter(({ seam }) => seam.startsWith("joint"));
    expect(tongues.length).toBeGreaterThanOrEqual(4);
    for (const { proud, axis } of tongues) {
      expect(proud).toMatch(/^ring-1-/);
      expect(axis).toEqual([0, 0, 1]);
    }
  });

  it("goes with a floor, which leaves last", () => {
    const built = build(stacked({ parts: 3, levels: [118] }, { base: "floor" }), "idle");
    holds(built);
    expect(built.model.moves.at(-1)).toMatchObject({ part: "floor", direction: [0, 0, -1] });
  });

  it("each ring is as high as its levels say, grown for the clay, but for its tongues", () => {
    const built = build(stacked({ parts: 3, levels: [60, 118] }));
    for (const { name, mesh } of built.bare) {
      const ring = Number(name[5]) - 1;
      const [low, high] = [
        [0, 60],
        [60, 118],
        [118, 156],
      ][ring];
      const { min, max } = boundsOf(mesh);
      expect(min[2]).toBeCloseTo(low * K, 3);
      expect(max[2]).toBeCloseTo(high * K, 3);
    }
  });

  it("rings lie on one another in one level plane, as wide as wall and shelf all around", () => {
    const built = build(stacked({ parts: 3, levels: [118] }));
    const z = boundsOf(built.bare[0].mesh).max[2];
    const area = (ring: number, way: number) =>
      built.bare
        .filter(({ name }) => name.startsWith(`ring-${ring}`))
        .reduce((sum, { mesh }) => {
          const { positions: p, triangles: t } = mesh;
          for (let i = 0; i < t.length; i += 3) {
            const n = facetCross(mesh, i);
            const flat = [0, 1, 2].every((k) => p[3 * t[i + k] + 2] === z);
            if (flat) {
              expect(Math.sign(n[2])).toBe(way);
              sum += Math.hypot(...n) / 2;
            }
          }
          return sum;
        }, 0);
    // Wall and 12 mm of shelf around the clay, and the flanges beyond.
    const row = built.grid!.zs.indexOf(z);
    const inner = Math.hypot(built.grid!.x[row][0], built.grid!.y[row][0]);
    const outer = inner + built.model.build.wall + 12;
    const ringArea = Math.PI * (outer * outer - inner * inner);
    for (const [ring, way] of [
      [1, 1],
      [2, -1],
    ] as const)
      expect(area(ring, way)).toBeGreaterThan(ringArea);
  });

  it("nothing of it stands under the foot that it prints on: rings with tongues lie on their rim", () => {
    const built = build(stacked({ parts: 3, levels: [60, 118] }), "idle");
    for (const { name, bedTurn, mesh } of built.model.parts) {
      const ring = Number(name[5]);
      expect(bedTurn[10]).toBe(ring === 1 ? 1 : -1);
      const up = bedTurn[10];
      const { positions: p, triangles: t } = mesh;
      let bed = Infinity;
      for (let i = 2; i < p.length; i += 3) bed = Math.min(bed, up * p[i]);
      let flat = 0;
      for (let i = 0; i < t.length; i += 3)
        if ([0, 1, 2].every((k) => Math.abs(up * p[3 * t[i + k] + 2] - bed) < 1e-9))
          flat += Math.hypot(...facetCross(mesh, i)) / 2;
      expect(flat, name).toBeGreaterThan(300);
    }
  });

  it("a lower ring is not drawn into the clay over it: its best pull by its own sides alone is passed over", () => {
    // Two lobes that turn on above the cut: steeply upwards the lower walls have draft, and the upper lobes in their way.
    const wave = profile.wave({ diameter: 80, waves: 2, amplitude: 8 });
    const body = loft([wave.at(0), wave.turn(10).at(60), wave.turn(60).at(120)]);
    const cut = split({ parts: 2, at: 164, follow: "flat", levels: [60] });
    const { model } = build(mold(shrink(body, 0), { seams: cut }), "idle");
    const lower = model.parts.filter(({ name }) => name.startsWith("ring-1"));
    expect(lower).toHaveLength(2);
    for (const { undercutMm2 } of lower) expect(undercutMm2).toBeLessThan(5);
  });

  it("while typing it has the same parts", () => {
    const coarse = build(stacked({ parts: 3, levels: [118] }), "typing");
    expect(names(coarse)).toEqual(names(build(stacked({ parts: 3, levels: [118] }), "idle")));
    for (const part of coarse.model.parts) expect(faultOfSolid(part.mesh), part.name).toBeNull();
  });

  it("turned by 50° it has the same volumes and drafts", () => {
    const wave = profile.wave({ diameter: 70, waves: 6, amplitude: 2 });
    const body = (turn: number) =>
      loft([wave.turn(turn).at(0), wave.scale(1.2).turn(turn).at(60), wave.scale(0.8).turn(turn).at(120)]);
    const [one, other] = [0, 50].map((turn) =>
      build(
        mold(shrink(body(turn), 0.1), {
          seams: split({ parts: 3, at: 10 + turn, levels: [70] }),
          marks: false,
        }),
        "idle",
      ),
    );
    one.bare.forEach(({ mesh }, i) => {
      expect(volumeOf(other.bare[i].mesh) / volumeOf(mesh)).toBeCloseTo(1, 3);
    });
    one.model.parts.forEach(({ draftDeg }, i) =>
      expect(other.model.parts[i].draftDeg).toBeCloseTo(draftDeg!, 1),
    );
  });

  // Kept seeds.
  for (const seed of [1, 2, 3, 4, 5, 6, 7, 8])
    it(`random form and levels hold together: seed ${seed}`, () => {
      const next = random(seed);
      const between = (low: number, high: number) => low + next() * (high - low);
      const outline = [
        profile.circle({ diameter: 70 }),
        profile.wave({ diameter: 72, waves: 5, amplitude: 3 }),
        profile.polygon({ sides: 6, acrossFlats: 70, corner: 8 }),
        profile.ellipse({ width: 84, depth: 64 }),
      ][seed % 4];
      const twist = between(-30, 30);
      const body = loft(
        [0, 45, 90, 135].map((z, i) =>
          outline
            .scale(between(0.8, 1.15))
            .turn((twist * i) / 3)
            .shift(i * between(-3, 3), 0)
            .at(z),
        ),
      );
      const levels = seed % 2 === 0 ? [between(30, 100)] : [between(25, 50), between(75, 110)];
      const built = build(
        mold(shrink(body, 0.1), {
          seams: split({ parts: 2 + (seed % 3), levels, follow: seed % 3 === 0 ? "flat" : "form" }),
          base: seed % 4 === 1 ? "floor" : "open",
        }),
        "idle",
      );
      holds(built);
      for (const finding of checkMold(built)) expect(finding.value).toBeTypeOf("number");
    });
});

describe("tongues between rings", () => {
  it("two or more on each part, set at the knife's land from the clay, and never locking", () => {
    const built = build(stacked({ parts: 3, levels: [118] }));
    const joints = built.keys.filter(({ name }) => name.startsWith("joint"));
    expect(joints).toHaveLength(3);
    for (const joint of joints) {
      expect(joint.keys.length).toBeGreaterThanOrEqual(2);
      for (const one of joint.keys) {
        expect(one.draftDeg).toBeGreaterThanOrEqual(3);
        // Every corner of its groove stands off the clay by the land or more.
        const { positions: p } = one.peg!.mesh;
        const z = one.model.at[2];
        const row = built.grid!.zs.indexOf(z);
        const clay = Math.hypot(built.grid!.x[row][0], built.grid!.y[row][0]);
        for (let i = 0; i < p.length; i += 3)
          expect(Math.hypot(p[i], p[i + 1]) - clay).toBeGreaterThan(6.5 - 1e-3);
      }
    }
    expect(checkMold(built).filter(({ code }) => code === "key-locked")).toEqual([]);
  });

  it("stand in their grooves with the clearance all around, square to the flanks", () => {
    const built = build(stacked({ parts: 3, levels: [118] }, { keys: key({ size: 6, clearance: 0.3 }) }));
    for (const { peg, socket } of built.keys.find(({ name }) => name === "joint-1-1")!.keys)
      withScope((scope) => {
        const [one, other] = [scope.solid(peg!), scope.solid(socket)];
        const below = scope.box([-500, -500, -500], [500, 500, boundsOf(built.bare[0].mesh).max[2]], {
          face: "key",
          call: -1,
        });
        const drawn = scope.intersect(one, below);
        const within = scope.commonVolume(drawn, other);
        expect(within).toBeCloseTo(drawn.volume, 3);
        // Moved by less than the clearance to any side it still stands free; inwards by more it does not.
        const common = (mm: number, angle: number) => {
          const [x, y] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
          return scope.commonVolume(scope.move(drawn, [mm * x, mm * y, 0]), other);
        };
        for (const angle of [0, 90, 180, 270]) expect(common(0.28, angle)).toBeCloseTo(within, 3);
        const { pull } = built.model.parts.find((part) => part.name === "ring-2-a")!;
        const way = (Math.atan2(pull![1], pull![0]) * 180) / Math.PI;
        // Its inner end slants with the clay, by 45° at most: 0.3·√2 along the pull.
        expect(within - common(0.6, way + 180)).toBeGreaterThan(0.1);
        expect(within - common(0.45, way + 90)).toBeGreaterThan(0.1);
        expect(within - common(20, way)).toBeLessThan(1e-3);
      });
  });

  it("a ring fits one way only: turned by a part it runs into the grooves", () => {
    const built = build(stacked({ parts: 3, at: 0, levels: [118] }, { marks: false }));
    const ring = (number: number) =>
      built.model.parts.filter(({ name }) => name.startsWith(`ring-${number}`));
    withScope((scope) => {
      const lower = ring(1).map((part) => scope.solid(part));
      const common = (degrees: number) => {
        const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
        return ring(2)
          .map((part) => scope.place(scope.solid(part), [c, s, 0], [-s, c, 0], [0, 0, 1], [0, 0, 0]))
          .reduce(
            (sum, upper) => sum + lower.reduce((all, one) => all + scope.commonVolume(upper, one), 0),
            0,
          );
      };
      expect(common(0)).toBeLessThan(0.5);
      expect(common(120)).toBeGreaterThan(5);
      expect(common(240)).toBeGreaterThan(5);
    });
  });
});

describe("a cross seam that is advised", () => {
  it("leaves the undercut that was said of it: a twisted form of five lobes", () => {
    const wave = profile.wave({ diameter: 80, waves: 5, amplitude: 6 });
    const cut = (levels: number[]) =>
      build(
        mold(shrink(loft([wave.at(0), wave.turn(80).at(140)]), 0.12), {
          slab: 5,
          seams: split({ parts: 3, levels }),
        }),
        "idle",
      );
    const whole = cut([]);
    const held = (built: BuiltMold) => built.model.undercuts.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
    const [advice] = adviseLevels(whole);
    expect(advice.undercutMm2).toBeLessThan(0.2 * held(whole));
    expect(Math.abs(held(cut(advice.levels)) - advice.undercutMm2)).toBeLessThan(2);
  });
});
