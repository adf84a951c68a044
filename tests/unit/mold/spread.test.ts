import { beforeAll, describe, expect, it } from "vitest";
import { key, mold, shrink, split } from "../../../src/dsl/index.ts";
import type { Key } from "../../../src/dsl/kit/key.ts";
import type { MoldOptions } from "../../../src/dsl/kit/mold.ts";
import type { BuiltMold } from "../../../src/dsl/mold/build.ts";
import { grooveProfile, plateProfile } from "../../../src/dsl/mold/layout.ts";
import type { Vec3 } from "../../../src/dsl/mold/model.ts";
import { proveMold } from "../../../src/dsl/mold/prove.ts";
import { loadKernel } from "../../../src/dsl/solid/kernel.ts";
import type { Mesh } from "../../../src/dsl/solid/mesh.ts";
import { build, cylinder } from "./samples.ts";

beforeAll(loadKernel);

/*
 * A printed face stands `spread` proud of where it was drawn, whichever way it looks: between two
 * printed faces 2 × spread less is left than was drawn (derived).
 */
const SPREAD = 0.15;
const GAP = 0.2 + 2 * SPREAD;

const round = (keys: Key, more: MoldOptions = {}, spread = SPREAD) =>
  mold(shrink(cylinder(), 0.12), { keys, seams: split({ parts: 3 }), printer: { spread }, ...more });

const points = ({ positions }: Mesh): Vec3[] =>
  Array.from({ length: positions.length / 3 }, (_, i): Vec3 => [
    positions[3 * i],
    positions[3 * i + 1],
    positions[3 * i + 2],
  ]);

/** Distance from the axis and height along it. */
function about(at: Vec3, axis: Vec3, p: Vec3): { r: number; h: number } {
  const d = p.map((value, i) => value - at[i]);
  const h = d[0] * axis[0] + d[1] * axis[1] + d[2] * axis[2];
  return { r: Math.sqrt(Math.max(0, d[0] * d[0] + d[1] * d[1] + d[2] * d[2] - h * h)), h };
}

const keysOf = (built: BuiltMold) => built.keys.flatMap((seam) => seam.keys);

describe("what a printer adds to each face is taken off the keys", () => {
  it("the socket of a cone is drawn clearance + 2 × spread from its peg, square to flank and top", () => {
    const built = build(round(key({ shape: "cone" })));
    const keys = keysOf(built);
    expect(keys.length).toBeGreaterThanOrEqual(6);
    for (const { model, peg, socket } of keys) {
      expect(model).toMatchObject({ clearance: 0.2 });
      expect(model.gap).toBeCloseTo(GAP, 12);
      expect(model.size).toBe(8);
      const drawn = points(peg!.mesh).map((p) => about(model.at, model.axis, p));
      const top = drawn.reduce((a, b) => (b.h > a.h + 1e-6 || (b.h > a.h - 1e-6 && b.r > a.r) ? b : a));
      const foot = drawn.filter(({ h }) => Math.abs(h) < 1e-3).reduce((a, b) => (b.r > a.r ? b : a));
      const slant = Math.hypot(foot.r - top.r, top.h - foot.h);
      const [along, out] = [(top.h - foot.h) / slant, (foot.r - top.r) / slant];
      const taken = points(socket.mesh).map((p) => about(model.at, model.axis, p));
      // In print the peg has the size that was asked for: its flank stands SPREAD outside the drawn one.
      const taper = Math.acos(along);
      expect(foot.r + SPREAD / along).toBeCloseTo(4, 3);
      expect(top.h + SPREAD).toBeCloseTo(model.height, 3);
      expect((taper * 180) / Math.PI).toBeCloseTo(33, 2);
      const ground = Math.max(...taken.map(({ h }) => h));
      expect(ground - top.h).toBeCloseTo(GAP, 3);
      const flank = taken.filter(({ r }) => r > 0.5);
      expect(flank.length).toBeGreaterThan(30);
      for (const { r, h } of flank) expect((r - foot.r) * along + (h - foot.h) * out).toBeCloseTo(GAP, 3);
    }
  });

  it("the socket of a dome is a sphere that much larger about the same middle", () => {
    const keys = keysOf(build(round(key())));
    expect(keys.length).toBeGreaterThanOrEqual(6);
    for (const { model, peg, socket } of keys) {
      // R = (r² + h²) / 2h of a cap of rim r and height h (standard geometry).
      const [r, h] = [model.size / 2, model.height];
      const sphere = (r * r + h * h) / (2 * h);
      const middle = h - sphere;
      const from = (p: Vec3) => {
        const { r: out, h: up } = about(model.at, model.axis, p);
        return { up, distance: Math.hypot(out, up - middle) };
      };
      const cap = points(peg!.mesh).map(from);
      for (const { up, distance } of cap) if (up > 1e-3) expect(distance).toBeCloseTo(sphere - SPREAD, 3);
      const hollow = points(socket.mesh).map(from);
      for (const { up, distance } of hollow)
        if (up > 1e-3) expect(distance).toBeCloseTo(sphere + 0.2 + SPREAD, 3);
    }
  });

  it("loose pegs are drawn smaller, both of their sockets wider, each by the spread square to its flank", () => {
    const spec = key({ shape: "cone", loose: true });
    const plain = keysOf(build(round(spec, { flange: { thickness: 8 } }, 0), "typing"));
    const drawn = keysOf(build(round(spec, { flange: { thickness: 8 } }), "typing"));
    expect(drawn.length).toBeGreaterThanOrEqual(6);
    expect(drawn).toHaveLength(plain.length);
    drawn.forEach((now, i) => {
      const before = plain[i];
      const { at, axis, height } = now.model;
      expect(before.model).toMatchObject({ at, axis, height });
      const atFace = (mesh: Mesh) =>
        Math.max(
          ...points(mesh).flatMap((p) =>
            Math.abs(about(at, axis, p).h) < 1e-3 ? [about(at, axis, p).r] : [],
          ),
        );
      const deep = (mesh: Mesh) => Math.max(...points(mesh).map((p) => Math.abs(about(at, axis, p).h)));
      // Both halves are the cone of a peg in three parts: 30° and 3° more.
      const flank = Math.cos((33 * Math.PI) / 180);
      expect(atFace(before.loose!.mesh) - atFace(now.loose!.mesh)).toBeCloseTo(SPREAD / flank, 3);
      expect(deep(before.loose!.mesh) - deep(now.loose!.mesh)).toBeCloseTo(SPREAD, 3);
      expect(deep(now.socket.mesh) - deep(before.socket.mesh)).toBeCloseTo(SPREAD, 3);
      expect(deep(now.counter!.mesh) - deep(before.counter!.mesh)).toBeCloseTo(SPREAD, 3);
    });
  });

  it("the tongues of a hump have that much more room", () => {
    const hump = (spread: number) =>
      build(
        mold(shrink(cylinder(), 0.12), {
          side: "inside",
          seams: split(),
          keys: key({ shape: "ridge" }),
          printer: { spread },
        }),
        "typing",
      );
    const deep = (built: BuiltMold) => {
      const [{ model, socket, peg }] = keysOf(built);
      const along = (mesh: Mesh) => Math.max(...points(mesh).map((p) => about(model.at, model.axis, p).h));
      return along(socket.mesh) - along(peg!.mesh);
    };
    expect(deep(hump(SPREAD)) - deep(hump(0))).toBeCloseTo(2 * SPREAD, 2);
  });

  it("a floor is drawn 0.3 + 2 × spread from the groove that clasps it", () => {
    const { layout, bare } = build(round(key(), { base: "floor" }));
    const room = 0.3 + 2 * SPREAD;
    const [groove, plate] = [grooveProfile(layout), plateProfile(layout)];
    const flanks = [
      [groove[0], groove[1], plate[1], plate[2]],
      [groove[2], groove[3], plate[3], plate[4]],
    ];
    for (const [a, b, c, d] of flanks) {
      const [dz, dout] = [b.z - a.z, b.out - a.out];
      const length = Math.hypot(dz, dout);
      const off = (p: { z: number; out: number }) =>
        Math.abs((p.z - a.z) * dout - (p.out - a.out) * dz) / length;
      expect(off(c)).toBeCloseTo(room, 9);
      expect(off(d)).toBeCloseTo(room, 9);
    }
    // On the solids: how far the round plate's tongue ends from the ground of the walls' groove.
    const between = (low: number, high: number, mesh: Mesh) =>
      points(mesh)
        .filter(([, , z]) => z > low && z < high)
        .map(([x, y]) => Math.hypot(x, y));
    const floor = bare.find(({ name }) => name === "floor")!;
    const walls = bare.filter(({ name }) => name !== "floor");
    const tongue = Math.max(...between(plate[3].z - 1e-3, plate[2].z + 1e-3, floor.mesh));
    const hollow = Math.min(
      ...walls.map(({ mesh }) => Math.min(...between(groove[2].z - 1e-3, groove[1].z + 1e-3, mesh))),
    );
    expect(hollow - tongue).toBeCloseTo(room, 2);
  });
});

describe("molds of a printer that spreads are proved as others are", () => {
  const made: [string, () => ReturnType<typeof mold>][] = [
    ["on a floor", () => round(key({ shape: "cone" }), { base: "floor" }, 0.3)],
    ["with loose pegs", () => round(key({ loose: true }), {}, 0.3)],
    ["with ridges", () => round(key({ shape: "ridge", size: 4 }), {}, 0.3)],
  ];
  for (const [name, make] of made)
    it(name, () => {
      const built = build(make());
      const proof = proveMold(built);
      expect(Math.abs(proof.differenceMm3)).toBeLessThan(1e-6 * proof.outerMm3);
      expect(built.opened.stuck).toEqual([]);
    });
});

it("a printer that nobody measured adds nothing", () => {
  const { spec } = mold(shrink(cylinder(), 0.12));
  expect(spec.printer.spread).toBe(0);
  expect(spec.keys.gap).toBe(spec.keys.clearance);
});
