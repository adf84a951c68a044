import { Box3, Group, Vector3 } from "three";
import { expect, test } from "vitest";
import { arrange } from "../../../src/preview/scene/arrange.ts";
import type { Piece } from "../../../src/preview/scene/piece.ts";

const box = (min: [number, number, number], max: [number, number, number]) =>
  new Box3(new Vector3(...min), new Vector3(...max));

function piece(role: Piece["role"], bounds: Box3, apart: [number, number, number] | null): Piece {
  const way = apart && new Vector3(...apart);
  return { name: role, role, apart: way, box: bounds, triangles: 12, object: new Group() };
}

const scene = () => ({
  pot: piece("vessel", box([-30, -30, 0], [30, 30, 80]), null),
  east: piece("wall", box([0, -40, 0], [40, 40, 80]), [1, 0, 0]),
  west: piece("wall", box([-40, -40, 0], [0, 40, 80]), [-1, 0, 0]),
  cutter: piece("cutter", box([-35, -35, 0], [35, 35, 20]), null),
});

test("closed, every part is where it works, and tools lie on the ground beside the mold", () => {
  const { pot, east, west, cutter } = scene();
  const seen = arrange([pot, east, west, cutter], 0, new Set());
  for (const one of [pot, east, west]) expect(one.object.position.length()).toBe(0);
  expect(cutter.object.position.x + cutter.box.min.x).toBeGreaterThan(40);
  expect(seen.min.toArray()).toEqual([-40, -40, 0]);
  expect(seen.max.x).toBe(cutter.object.position.x + 35);
});

test("apart, parts go along their way and the clay stays", () => {
  const { pot, east, west } = scene();
  arrange([pot, east, west], 0.5, new Set());
  expect(pot.object.position.length()).toBe(0);
  expect(east.object.position.x).toBeGreaterThan(20);
  expect(west.object.position.x).toBeCloseTo(-east.object.position.x, 9);
});

test("what is hidden takes no room, and all hidden leaves an empty box", () => {
  const pieces = Object.values(scene());
  const seen = arrange(pieces, 0.5, new Set(["mold", "tools"]));
  expect(seen.max.x).toBe(30);
  expect(arrange(pieces, 0.5, new Set(["mold", "tools", "clay"])).isEmpty()).toBe(true);
});
