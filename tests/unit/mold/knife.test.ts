import { beforeAll, describe, expect, it } from "vitest";
import { key, loft, mold, profile, shrink, split } from "../../../src/dsl/index.ts";
import type { Mold } from "../../../src/dsl/kit/mold.ts";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import type { FacePoint, SeamFace } from "../../../src/dsl/mold/seam-face.ts";
import { MeshBuilder } from "../../../src/dsl/solid/builder.ts";
import { loadKernel, withScope } from "../../../src/dsl/solid/kernel.ts";
import type { Tagged } from "../../../src/dsl/solid/tagged.ts";
import { exampleMold } from "./example.ts";
import { beakerMold, build, wavedMold } from "./samples.ts";

beforeAll(loadKernel);

/** The blade: as wide as it reaches out from the cavity, and as thick, mm. */
const BLADE = { width: 20, thick: 1 };
/** It glides this far over a seam face, mm: more than the facets of one that turns stand off its rulings. */
const GLIDE = 0.15;
/** And this far over rim and foot, which are flat: more than the grain of the numbers. */
const FLAT = 0.02;
/** Shares of its width at which it bends with a face that turns. */
const DISTANCES = Array.from({ length: 21 }, (_, k) => k / 20);
/** What it may seem to share with the plastic, mm³. */
const TOUCH = 0.5;

/**
 * All that a blade passes through that lies flat on an open seam face and is drawn along the cavity
 * from foot to rim: from the cavity edge outwards to `width`, off the face by its thickness.
 *
 * @param side 1: over the face of the part before the seam; −1: over that of the part after it
 */
function sweptOver(face: SeamFace, side: 1 | -1, width: number): Tagged {
  const builder = new MeshBuilder(4 * face.points.length);
  builder.face("seam", -1);
  const corners = face.points.map((row) => {
    const [start, end] = [row[0], row[row.length - 1]];
    const length = Math.hypot(end.x - start.x, end.y - start.y);
    const [dx, dy] = [(end.x - start.x) / length, (end.y - start.y) / length];
    const at = (distance: number, off: number): number => {
      const p: FacePoint = {
        x: start.x + dx * distance - side * dy * off,
        y: start.y + dy * distance + side * dx * off,
        z: start.z,
      };
      return builder.vertex(p.x, p.y, p.z);
    };
    const chain = (off: number) => DISTANCES.map((share) => at(share * width, off));
    // Around the blade: out along the face, and back a thickness off it.
    const ring = [...chain(GLIDE), ...chain(BLADE.thick).reverse()];
    return side > 0 ? ring : ring.reverse();
  });
  const around = corners[0].length;
  const end = (ring: readonly number[], up: boolean) => {
    for (let k = 0; k + 1 < around / 2; k++) {
      const [p, q, r, s] = [ring[k], ring[k + 1], ring[around - 2 - k], ring[around - 1 - k]];
      if (up) builder.quad(p, q, r, s);
      else builder.quad(s, r, q, p);
    }
  };
  end(corners[0], false);
  end(corners[corners.length - 1], true);
  for (let r = 0; r + 1 < corners.length; r++) {
    const [low, high] = [corners[r], corners[r + 1]];
    for (let k = 0; k < around; k++)
      builder.quad(low[k], low[(k + 1) % around], high[(k + 1) % around], high[k]);
  }
  return builder.finish();
}

/** What the blade cuts of the open part on each seam face, mm³, reaching out so far. */
function cutOnSeams(built: BuiltMold, width: number): number[] {
  return built.model.seams.flatMap((seam, i) =>
    ([1, -1] as const).map((side) =>
      withScope((scope) => {
        const name = seam.parts[side > 0 ? 0 : 1];
        const part = scope.solid(built.model.parts.find((one) => one.name === name)!);
        const blade = scope.solid(sweptOver(built.faces[i], side, width));
        expect(blade.volume).toBeGreaterThan(0);
        return scope.commonVolume(part, blade);
      }),
    ),
  );
}

/** What the blade cuts, drawn over the rim and, the mold turned over, over the foot of the closed mold, mm³. */
function cutOnEnds(built: BuiltMold): number[] {
  const { foot, height } = built.layout;
  const far = 1000;
  return withScope((scope) => {
    const tag = { face: "rim", call: -1 } as const;
    const over = scope.box([-far, -far, height + FLAT], [far, far, height + BLADE.thick], tag);
    const under = scope.box([-far, -far, foot - BLADE.thick], [far, far, foot - FLAT], tag);
    return built.model.parts
      .filter((part) => part.role === "wall" || part.role === "floor")
      .flatMap((part) => {
        const solid = scope.solid(part);
        return [scope.commonVolume(solid, over), scope.commonVolume(solid, under)];
      });
  });
}

const samples: [string, () => Mold][] = [
  ["octagon beaker with cones", () => beakerMold()],
  ["beaker on a floor", () => beakerMold({ base: "floor" })],
  ["fluted carafe with domes", () => exampleMold("fluted-carafe")],
  ["waves turned 40°, seams with the form", () => wavedMold(40, "form")],
  [
    "round in three, with ridges",
    () => {
      const round = profile.circle({ diameter: 110 });
      return mold(shrink(loft([round.at(0), round.scale(1.1).at(90)]), 0.1), {
        keys: key({ shape: "ridge", size: 4 }),
        seams: split({ parts: 3, at: 0 }),
      });
    },
  ],
];

describe("the trimming knife meets nothing nearer to the clay than the keys' land", () => {
  for (const [name, make] of samples) {
    it(name, () => {
      const built = build(make(), "idle");
      const { land } = built.spec.keys;
      for (const cut of cutOnSeams(built, land)) expect(cut).toBeLessThan(TOUCH);
      for (const cut of cutOnEnds(built)) expect(cut).toBe(0);
      // The blade would meet the pegs, were it drawn further out: so the test sees what is there.
      expect(Math.max(...cutOnSeams(built, BLADE.width))).toBeGreaterThan(10);
    });
  }
});

describe("with loose pegs the knife meets no key at all", () => {
  const loose: [string, () => Mold][] = [
    ["octagon beaker", () => beakerMold({ keys: key({ loose: true }) })],
    [
      "waves turned 40°",
      () =>
        mold(wavedMold(40, "form").spec.body, {
          keys: key({ loose: true }),
          seams: split({ parts: 3, at: 3 }),
        }),
    ],
  ];
  for (const [name, make] of loose) {
    it(name, () => {
      const built = build(make(), "idle");
      expect(built.model.keys.length).toBeGreaterThan(0);
      for (const cut of cutOnSeams(built, BLADE.width)) expect(cut).toBeLessThan(TOUCH);
      for (const cut of cutOnEnds(built)) expect(cut).toBe(0);
    });
  }
});
