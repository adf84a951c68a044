import bunny from "bunny";
import { Vector3 } from "three";
import type { MeshBVH } from "three-mesh-bvh";
import { beforeAll, describe, expect, it } from "vitest";
import { loft, mold, profile, shrink, solid, split, trim } from "../../../src/dsl/index.ts";
import type { Body } from "../../../src/dsl/kit/body.ts";
import type { Mold, MoldOptions } from "../../../src/dsl/kit/mold.ts";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import { Engine } from "../../../src/dsl/engine/engine.ts";
import { parts } from "../../../src/dsl/engine/parts.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";
import { request } from "../engine/real.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { faultOfSolid } from "../../../src/dsl/output/verify.ts";
import { loadKernel, withScope } from "../../../src/dsl/solid/kernel.ts";
import { piecesOf } from "../../../src/dsl/solid/crumbs.ts";
import { volumeOf } from "../../../src/dsl/solid/measure.ts";
import { boat, bowedVase, kidney, mirroredKidney } from "./free-bodies.ts";
import { BARYCENTRIC, cavityOf, insideOf, random, treeOf } from "./inside.ts";
import { build } from "./samples.ts";

beforeAll(loadKernel);

const made = (body: Body, more: MoldOptions = {}): Mold =>
  mold(shrink(body, 0.12), { seams: split({ parts: 2, at: 0, follow: "flat" }), ...more });

/** The bunny of npm `bunny` as a mesh, upright, one of its units to 10 mm, cut level at its feet. */
const figure = (): Body => {
  const feet = Math.min(...bunny.positions.map(([, y]) => y));
  const polygons = bunny.cells.map((cell) => ({
    vertices: cell.map((v) => {
      const [x, y, z] = bunny.positions[v];
      return [10 * x, -10 * z, 10 * (y - feet)];
    }),
  }));
  const sheet = profile.rounded({ width: 300, depth: 300, corner: 5 });
  return trim(solid({ polygons }, { open: "bottom" }), loft([sheet.at(0), sheet.at(4)]));
};

const samples: [string, () => Mold][] = [
  ["kidney dish", () => made(kidney())],
  [
    "kidney dish on a floor, three parts",
    () => made(kidney(), { base: "floor", seams: split({ parts: 3, at: 92, follow: "flat" }) }),
  ],
  ["vase swept in a bow", () => made(bowedVase())],
  ["boat of @jscad/modeling, its keel closed", () => made(boat())],
  [
    "bunny of solid clay, a mesh, in four",
    () => made(figure(), { slab: "solid", seams: split({ parts: 4, at: 2, follow: "flat" }) }),
  ],
];

const known = new Map<string, BuiltMold>();
const built = ([name, make]: [string, () => Mold]): BuiltMold => {
  let one = known.get(name);
  if (!one) known.set(name, (one = build(make())));
  return one;
};

/** How far a part is drawn, mm, and the grain of the numbers, mm³. */
const WAY = [1, 5, 40];
const TOUCH = 0.5;

describe.each(samples)("%s", (...sample) => {
  it("parts are closed, their volumes add up, they do not overlap, and they come off", () => {
    const one = built(sample);
    const proof = proveMold(one);
    expect(Math.abs(proof.differenceMm3)).toBeLessThan(1e-6 * proof.outerMm3);
    expect(proof.overlapMm3).toBeLessThan(1);
    for (const part of one.model.parts) {
      expect(faultOfSolid(part.mesh), part.name).toBeNull();
      // Nothing loose; a foot may close a fold of the clay off, which makes a hollow.
      expect(
        piecesOf(part.mesh).volumes.filter((volume) => volume > 0),
        part.name,
      ).toHaveLength(1);
    }
    expect(one.opened.stuck).toEqual([]);
    expect(one.model.moves.map(({ part }) => part).sort()).toEqual(
      one.model.parts
        .filter(({ role }) => role === "wall" || role === "floor")
        .map(({ name }) => name)
        .sort(),
    );
    for (const seam of one.model.seams) expect(seam.follow).toBe("flat");
  });

  it("what a part cuts out of the clay on its way is reported as undercut, and nothing else is", () => {
    const { model, clay } = built(sample);
    for (const part of model.parts) {
      if (part.role !== "wall") continue;
      const [x, y, z] = part.pull!;
      const torn = withScope((scope) => {
        const [own, pot] = [scope.solid(part), scope.solid(clay)];
        return Math.max(
          ...WAY.map((mm) => scope.commonVolume(scope.move(own, [x * mm, y * mm, z * mm]), pot)),
        );
      });
      if (part.undercutMm <= 0.05) expect(torn, part.name).toBeLessThan(TOUCH);
      else expect(torn, part.name).toBeGreaterThan(TOUCH);
    }
  });

  it("the wall is nowhere thinner than asked, less 0.05 mm", () => {
    const one = built(sample);
    const tree = cavityOf(one);
    let least = Infinity;
    for (const { mesh, runs } of one.model.parts.filter(({ role }) => role === "wall")) {
      const { positions: p, triangles: t } = mesh;
      for (const run of runs) {
        if (run.face !== "outside") continue;
        for (let i = 3 * run.start; i < 3 * (run.start + run.count); i += 3)
          for (const weights of BARYCENTRIC) {
            const point = new Vector3();
            weights.forEach((weight, k) => {
              const v = 3 * t[i + k];
              point.add(new Vector3(p[v], p[v + 1], p[v + 2]).multiplyScalar(weight));
            });
            least = Math.min(least, tree.closestPointToPoint(point)!.distance);
          }
      }
    }
    expect(least).toBeGreaterThan(one.model.build.wall - 0.05);
    expect(least).toBeLessThan(one.model.build.wall + 0.05);
  });

  it("500 points just outside the clay lie in exactly one part, just inside in none (seed 11)", () => {
    const { model, clay, layout } = built(sample);
    const parts = model.parts.filter(({ role }) => role === "wall").map(({ mesh }) => insideOf(mesh));
    const { positions: p, triangles: t } = clay.mesh;
    const own = clay.runs.filter(({ face }) => face === "cavity");
    const facets = own.flatMap(({ start, count }) =>
      Array.from({ length: count }, (_, i) => 3 * (start + i)),
    );
    const next = random(11);
    let looked = 0;
    while (looked < 500) {
      const f = facets[Math.floor(next() * facets.length)];
      const [a, b, c] = [0, 1, 2].map((k) => new Vector3(...p.subarray(3 * t[f + k], 3 * t[f + k] + 3)));
      let [u, v] = [next(), next()];
      if (u + v > 1) [u, v] = [1 - u, 1 - v];
      const normal = b.clone().sub(a).cross(c.clone().sub(a)).normalize();
      const at = a.clone().addScaledVector(b.clone().sub(a), u).addScaledVector(c.clone().sub(a), v);
      // Beside an opening there is nothing outside.
      if (at.z < layout.foot + 1 || at.z > layout.height - 1 || !isAwayFromRim(clay, at)) continue;
      looked++;
      const count = (off: number) => {
        const q = at.clone().addScaledVector(normal, off);
        return parts.filter((inside) => inside(q.x, q.y, q.z)).length;
      };
      expect([count(0.05), count(-0.05)], `${at.x}, ${at.y}, ${at.z}`).toEqual([1, 0]);
    }
  });
});

const rims = new WeakMap<object, MeshBVH | null>();
function isAwayFromRim({ mesh, runs }: BuiltMold["clay"], at: Vector3): boolean {
  let tree = rims.get(mesh);
  if (tree === undefined) {
    const index: number[] = [];
    for (const run of runs)
      if (run.face === "rim")
        for (let i = 3 * run.start; i < 3 * (run.start + run.count); i++) index.push(mesh.triangles[i]);
    rims.set(mesh, (tree = index.length > 0 ? treeOf(mesh.positions, index) : null));
  }
  return !tree || tree.closestPointToPoint(at)!.distance > 1;
}

/** What a mold says of itself that no turning changes. */
const said = ({ model, clay }: BuiltMold) => ({
  clay: volumeOf(clay.mesh),
  walls: model.parts
    .filter(({ role }) => role === "wall")
    .map((part) => ({ volume: volumeOf(part.mesh), draft: part.draftDeg!, undercut: part.undercutMm2 }))
    .sort((a, b) => a.volume - b.volume),
  capacity: model.fired!.capacityMl!,
});

describe("a kidney that is turned or mirrored", () => {
  const near = (a: ReturnType<typeof said>, b: ReturnType<typeof said>) => {
    expect(b.clay / a.clay).toBeCloseTo(1, 4);
    expect(b.capacity / a.capacity).toBeCloseTo(1, 3);
    a.walls.forEach((wall, i) => {
      const other = b.walls[i];
      expect(other.volume / wall.volume).toBeCloseTo(1, 2);
      expect(Math.abs(other.draft - wall.draft)).toBeLessThan(0.05);
      expect(Math.abs(other.undercut - wall.undercut)).toBeLessThan(1);
    });
  };
  for (const at of [0, "best"] as const) {
    it(`by 37°, seams ${at}: same volumes, drafts and capacity`, () => {
      const seams = (angle: number) => split({ parts: 2, at: at === 0 ? angle : at, follow: "flat" });
      const [one, other] = [0, 37].map((angle) =>
        build(
          made(
            kidney((outline) => outline.turn(angle)),
            { seams: seams(angle) },
          ),
          "idle",
        ),
      );
      near(said(one), said(other));
      const turned = other.model.seams[0].atDeg - one.model.seams[0].atDeg;
      expect(turned).toBeCloseTo(37, 2);
    });
    it(`mirrored, seams ${at}: the same, the parts the other way round`, () => {
      const seams = () => split({ parts: 2, at, follow: "flat" });
      const [one, other] = [kidney(), mirroredKidney()].map((body) =>
        build(made(body, { seams: seams() }), "idle"),
      );
      near(said(one), said(other));
    });
  }
});

describe("what a maker hears", () => {
  const dish = (more: string, body = "loft([bean.at(0), bean.scale(0.94).at(42)])") => `
import { cutter, fit, inside, loft, mold, profile, shrink, split, sweep } from "slabwright";
const bean = profile.svg("bean.svg", { width: 122 });
export default mold(shrink(${body}, 0.12), ${more});
`;
  const drawing = {
    "bean.svg": `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 140 110"><path d="M10 78 C11.7 85.0 13.7 95.0 22 98 C30.3 101.0 49.0 95.7 60 96 C71.0 96.3 78.0 100.3 88 100 C98.0 99.7 112.7 99.7 120 94 C127.3 88.3 132.3 75.3 132 66 C131.7 56.7 124.7 42.3 118 38 C111.3 33.7 100.0 36.7 92 40 C84.0 43.3 77.3 56.0 70 58 C62.7 60.0 55.3 54.3 48 52 C40.7 49.7 32.0 43.3 26 44 C20.0 44.7 14.7 50.3 12 56 C9.3 61.7 8.3 71.0 10 78 Z"/></svg>`,
  };
  const engine = new Engine(parts, () => undefined);
  const check = (text: string) => engine.build(request(text, drawing, { fixes: true }));

  it("a dish over a drawn bean is sound but for its flat seams, and saying flat ends that too", async () => {
    const text = dish("{ seams: split({ parts: 2 }), cutters: [cutter.base()] }");
    const { findings, problem } = await check(text);
    expect(problem).toBeUndefined();
    expect(findings).toMatchObject([{ code: "seams-flat", severity: "info", place: { line: 4 } }]);
    expect(findings[0].fixes).toHaveLength(1);
    const cured = applyEdits(text, findings[0].fixes[0].edits);
    expect(cured).toContain(`split({ parts: 2, follow: "flat" })`);
    expect((await check(cured)).findings).toEqual([]);
  });

  it("form-following seams that nobody wrote are told of as well", async () => {
    const { findings } = await check(dish("{}"));
    expect(findings).toMatchObject([{ code: "seams-flat", fixes: [] }]);
  });

  it("a slab that leaves no room inside is an error with the distance between the walls", async () => {
    const { findings } = await check(dish(`{ slab: 25, seams: split({ parts: 2, follow: "flat" }) }`));
    expect(findings).toContainEqual(expect.objectContaining({ code: "slab-crowded", severity: "error" }));
  });

  const refused: [string, string, RegExp][] = [
    ["a hump", dish(`{ side: "inside" }`), /no hump can be made of it; leave side out/],
    [
      "seams on corners that it has not",
      dish(`{ seams: split({ parts: 5, at: "corners" }) }`),
      /corners or crests that 5 seams could stand on; give “at” an angle/,
    ],
    [
      "a floor under a keel",
      dish(`{ base: "floor" }`, `sweep(profile.circle({ diameter: 50 }), [[0, 0, 40], [90, 0, 40]])`),
      /no level foot that a floor could lie under; write base: “open”/,
    ],
    [
      "cross seams",
      dish("{ seams: split({ parts: 2, levels: [20] }) }"),
      /cross seams need sections that are seen whole from their middle/,
    ],
    [
      "a closed base",
      dish(`{ base: "closed" }`),
      /this one comes apart; write base: “floor”, or split\.whole/,
    ],
  ];
  it.each(refused)("%s: refused with what to do", async (_, text, message) => {
    const { problem } = await check(text);
    expect(problem?.code).toBe("kit-conflict");
    expect(problem?.message).toMatch(message);
  });
});
