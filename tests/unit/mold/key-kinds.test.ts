import { beforeAll, describe, expect, it } from "vitest";
import { key, loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import type { Key } from "../../../src/dsl/kit/key.ts";
import { ridge } from "../../../src/dsl/mold/key-shape.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import { volumeOf } from "../../../src/dsl/solid/measure.ts";
import { exampleMold } from "./example.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

/** A tall round pot in so many parts. */
const round = (parts: number, keys?: Key) => {
  const outline = profile.circle({ diameter: 110 });
  return mold(shrink(loft([outline.at(0), outline.scale(1.1).at(90)]), 0.1), {
    seams: split({ parts, at: 0 }),
    ...(keys && { keys }),
  });
};

describe("the ridge", () => {
  it("leans θ + 3° at its rear and no more than it must elsewhere", () => {
    // A peg square to a seam of five parts stands at 90° − 36° = 54° to the pull (derived).
    const shape = ridge(4, 54, 0.2, 2.3)!;
    expect(shape.taper).toBe(57);
    const [, foot, top] = shape.levels!.peg(0);
    const run = top.corners[0][0] - foot.corners[0][0];
    expect(run / top.h).toBeCloseTo(Math.tan((57 * Math.PI) / 180), 9);
  });

  it("its socket stands off by the clearance, square to each flank", () => {
    const shape = ridge(6, 30, 0.25, 2)!;
    const foot = shape.levels!.peg(0)[1].corners;
    const socket = shape.levels!.socket(0)[0].corners;
    const rear = (33 * Math.PI) / 180;
    expect((foot[0][0] - socket[0][0]) * Math.cos(rear)).toBeCloseTo(0.25, 9);
    expect((socket[1][0] - foot[1][0]) * Math.cos((20 * Math.PI) / 180)).toBeCloseTo(0.25, 9);
  });
});

describe("keys of each kind", () => {
  const samples: [string, () => ReturnType<typeof round>, string][] = [
    ["five parts, keys not written: ridges", () => round(5), "ridge"],
    ["six parts, keys not written: ridges", () => round(6), "ridge"],
    ["three parts with ridges", () => round(3, key({ shape: "ridge", size: 4 })), "ridge"],
  ];
  for (const [name, make, shape] of samples) {
    it(`${name}: two on each seam, none locks, the proof holds`, () => {
      const built = build(make());
      const proof = proveMold(built);
      expect(Math.abs(proof.differenceMm3)).toBeLessThan(1e-6 * proof.outerMm3);
      for (const seam of built.keys) {
        expect(seam.keys.length, seam.name).toBeGreaterThanOrEqual(2);
        for (const one of seam.keys) {
          expect(one.model.shape).toBe(shape);
          expect(one.draftDeg).toBeGreaterThan(2.99);
          expect(one.model.height).toBeGreaterThanOrEqual(1);
        }
      }
      expect(built.opened.stuck).toEqual([]);
    });
  }

  const loose: [string, () => ReturnType<typeof round>][] = [
    ["domes", () => round(3, key({ loose: true }))],
    ["cones", () => round(2, key({ shape: "cone", loose: true }))],
    ["ridges", () => round(4, key({ shape: "ridge", size: 4, loose: true }))],
  ];
  for (const [name, make] of loose) {
    it(`loose ${name}: nothing stands proud of any seam face, and a printed peg fits each pair of sockets`, () => {
      const built = build(make());
      const proof = proveMold(built);
      expect(Math.abs(proof.differenceMm3)).toBeLessThan(1e-6 * proof.outerMm3);
      expect(built.changes.every((change) => change.adds.length === 0)).toBe(true);
      const pegs = built.model.parts.filter((part) => part.role === "peg");
      expect(pegs).toHaveLength(built.model.keys.length);
      expect(new Set(pegs.map((peg) => peg.name)).size).toBe(pegs.length);
      for (const peg of pegs) expect(faultOfSolid(peg.mesh)).toBeNull();
      built.keys
        .flatMap((seam) => seam.keys)
        .forEach((one) => {
          const room = volumeOf(one.socket.mesh) + volumeOf(one.counter!.mesh);
          expect(volumeOf(one.loose!.mesh)).toBeLessThan(room);
        });
      for (const wall of built.model.parts.filter((part) => part.role === "wall")) {
        const before = built.bare.find((part) => part.name === wall.name)!;
        expect(volumeOf(wall.mesh)).toBeLessThan(volumeOf(before.mesh));
      }
    });
  }

  it("loose pegs in halves", () => {
    const { spec } = exampleMold("beaker-handle");
    const built = build(mold(spec.body, { slab: "solid", seams: spec.seams, keys: key({ loose: true }) }));
    proveMold(built);
    expect(built.model.parts.filter((part) => part.role === "peg").length).toBeGreaterThanOrEqual(2);
  });
});
