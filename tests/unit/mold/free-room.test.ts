import modeling from "@jscad/modeling";
import { beforeAll, describe, expect, it } from "vitest";
import { loft, mold, profile, shrink, solid, split } from "../../../src/dsl/index.ts";
import { insideVolume } from "../../../src/dsl/mold/capacity.ts";
import { freeRoom } from "../../../src/dsl/mold/free-room.ts";
import { freeShape } from "../../../src/dsl/mold/free-shape.ts";
import { nearestOpposed } from "../../../src/dsl/mold/opposed.ts";
import { contour } from "../../../src/dsl/solid/contour.ts";
import { loadKernel, withScope } from "../../../src/dsl/solid/kernel.ts";
import { boundsOf, openEdges, volumeOf } from "../../../src/dsl/solid/measure.ts";
import { offsetSurface } from "../../../src/dsl/solid/offset-surface.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import { bowedVase } from "./free-bodies.ts";
import { random } from "./inside.ts";
import { build, wavedBody } from "./samples.ts";

beforeAll(loadKernel);

const SIZE = 24;
const BLOCKS = SIZE / 2;
const field = (value: (x: number, y: number, z: number) => number) => {
  const values = new Float32Array(SIZE * SIZE * SIZE);
  for (let k = 0; k < SIZE; k++)
    for (let j = 0; j < SIZE; j++)
      for (let i = 0; i < SIZE; i++) values[(k * SIZE + j) * SIZE + i] = value(i, j, k);
  return {
    origin: [0, 0, 0] as [number, number, number],
    step: 1,
    counts: [SIZE, SIZE, SIZE] as [number, number, number],
    values,
    blocks: new Uint8Array(BLOCKS ** 3).fill(1),
    blockCounts: [BLOCKS, BLOCKS, BLOCKS] as [number, number, number],
  };
};

describe("a contour", () => {
  it("of a ball has its volume, V = 4/3·π·r³ (standard geometry)", () => {
    const mesh = contour(
      field((x, y, z) => Math.hypot(x - 11.7, y - 11.6, z - 11.4)),
      9.3,
    );
    expect(openEdges(mesh)).toBe(0);
    expect(volumeOf(mesh) / ((4 / 3) * Math.PI * 9.3 ** 3)).toBeCloseTo(1, 1);
  });

  it.each([1, 2, 3, 4])("of noise, in which every case occurs, is closed (seed %i)", (seed) => {
    const next = random(seed);
    const edge = (i: number) => i === 0 || i === SIZE - 1;
    const mesh = contour(
      field((x, y, z) => (edge(x) || edge(y) || edge(z) ? 1 : next())),
      0.5,
    );
    expect(mesh.triangles.length).toBeGreaterThan(30_000);
    expect(openEdges(mesh)).toBe(0);
  });
});

/** The lower half of a ball, open at its equator. */
const bowl = (radius: number): Body => {
  const ball = modeling.primitives.sphere({ radius, segments: 96 });
  const above = modeling.primitives.cuboid({ size: [400, 400, 200], center: [0, 0, 100] });
  return solid(modeling.booleans.subtract(ball, above));
};

describe("a surface at a distance", () => {
  it("from a ball is a ball: each corner lies at radius ± distance, as near as facets let it", () => {
    const mesh = withScope((scope) => scope.mesh(freeShape(scope, bowl(30), 1, 0.02, 20).extended).mesh);
    for (const [side, radius] of [
      ["outside", 33],
      ["inside", 25],
    ] as const) {
      const surface = offsetSurface(mesh, Math.abs(radius - 30), side, { step: 0.75, sag: 0.03 }, [-10, 20]);
      let [least, most] = [Infinity, 0];
      for (let i = 0; i < surface.positions.length; i += 3) {
        const [x, y, z] = surface.positions.subarray(i, i + 3);
        if (z > 20) continue;
        const r = Math.hypot(x, y, z - 30);
        least = Math.min(least, r);
        most = Math.max(most, r);
      }
      // The facets of the ball lie up to r·(1 − cos(π/96)) within it.
      expect(least).toBeGreaterThan(radius - 0.04);
      expect(most).toBeLessThan(radius + 0.04);
    }
  });
});

describe("a surface at a distance from outside", () => {
  /** A cube of 60 mm with a ball of 40 mm taken out of its middle and a bore from the top into it. */
  const hollow = (bore: number): Body => {
    const { booleans, primitives } = modeling;
    const room = primitives.sphere({ radius: 20, segments: 48, center: [0, 0, 30] });
    const way = primitives.cylinder({ radius: bore / 2, height: 40, segments: 48, center: [0, 0, 50] });
    const block = primitives.cuboid({ size: [60, 60, 60], center: [0, 0, 30] });
    return solid(booleans.subtract(block, booleans.union(room, way)));
  };
  const volumeAround = (bore: number): number => {
    const mesh = withScope((scope) => scope.mesh(freeShape(scope, hollow(bore), 1, 0.02, 20).extended).mesh);
    const surface = offsetSurface(mesh, 3, "outside", { step: 1.5, sag: 0.03 }, [-100, 200]);
    expect(openEdges(surface)).toBe(0);
    return volumeOf(surface);
  };
  // V + S·r + π·r²·(a + b + c) + 4/3·π·r³ of a block (Steiner's formula), which runs on through its open top.
  const [a, h, r] = [60, 80, 3];
  const block =
    a * a * h + (2 * a * a + 4 * a * h) * r + Math.PI * (2 * a + h) * r * r + (4 / 3) * Math.PI * r ** 3;

  it("takes a hollow for solid whose mouth is narrower than twice the distance", () => {
    expect(Math.abs(volumeAround(5) - block) / block).toBeLessThan(0.002);
  });

  it("goes into a hollow through a wider mouth", () => {
    const room = (4 / 3) * Math.PI * (20 - r) ** 3;
    expect(Math.abs(volumeAround(9) - block + room) / block).toBeLessThan(0.005);
  });
});

describe("the room inside a slab", () => {
  it("of half a ball is half a ball, V = 2/3·π·(r − slab)³ (standard geometry)", () => {
    const { room } = build(
      mold(shrink(bowl(40), 0), { slab: 6, seams: split({ parts: 2, at: 0, follow: "flat" }) }),
      "idle",
    );
    expect(room!.volume / ((2 / 3) * Math.PI * 34 ** 3)).toBeCloseTo(1, 2);
    // Just under the mouth it is as wide as there.
    expect(room!.widths[room!.widths.length - 1]).toBeGreaterThan(66);
    expect(room!.widths[room!.widths.length - 1]).toBeLessThan(68.1);
  });

  it.each([1.013, 1.065, 1.351])(
    "is closed where it only just touches a block of its coarse field: a leaning vase × %d",
    (factor) => {
      const open = withScope((scope) => {
        const { extended } = freeShape(scope, bowedVase(factor), 1 / 0.88, 0.2, 8, { foot: true });
        const mesh = scope.mesh(extended).mesh;
        const { min, max } = boundsOf(mesh);
        return openEdges(offsetSurface(mesh, 6, "inside", { step: 3, sag: 0.5 }, [min[2] + 8, max[2] - 8]));
      });
      expect(open).toBe(0);
    },
  );

  it("of a waved body with a neck is what its level sections give by another way, to 3 in 1000", () => {
    const body = wavedBody(10);
    const made = mold(shrink(body, 0), { slab: 6, seams: split({ parts: 3, at: 3 }) });
    const { grid } = build(made, "export");
    const free = withScope((scope) => {
      const shape = freeShape(scope, body, 1, 0.02, 20, { foot: true });
      const clay = shape.clay;
      const facets = scope.facets(clay, "cavity");
      return freeRoom(scope, shape, facets, 6, { z: 0, slab: 6 }, { step: 2, sag: 0.05, chord: 0.02 }, -1)
        .volume;
    });
    expect(Math.abs(free / insideVolume(grid!, 6, 6) - 1)).toBeLessThan(3e-3);
  });
});

it("walls that look at each other are as far apart as they stand: a slot 30 mm wide", () => {
  const slot = profile.rounded({ width: 120, depth: 30, corner: 10 });
  const distance = withScope((scope) => {
    const shape = freeShape(scope, loft([slot.at(0), slot.at(50)]), 1, 0.05, 5, { foot: true });
    return nearestOpposed(scope.facets(shape.clay, "cavity"))!.distance;
  });
  expect(distance).toBeCloseTo(30, 2);
});
