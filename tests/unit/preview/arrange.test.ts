import { Box3, Group, Vector3 } from "three";
import { expect, test } from "vitest";
import { arrange } from "../../../src/preview/scene/arrange.ts";
import { homeSide } from "../../../src/preview/scene/eye.ts";
import { apartOffsets, openingOffsets } from "../../../src/preview/scene/opening.ts";
import type { Piece } from "../../../src/preview/scene/piece.ts";

const box = (min: [number, number, number], max: [number, number, number]) =>
  new Box3(new Vector3(...min), new Vector3(...max));

function piece(name: string, role: Piece["role"], bounds: Box3, apart: [number, number, number] | null) {
  return { name, role, apart: apart && new Vector3(...apart), box: bounds, object: new Group() };
}

const scene = () => ({
  pot: piece("vessel", "vessel", box([-30, -30, 0], [30, 30, 80]), null),
  east: piece("wall-a", "wall", box([0, -40, 0], [40, 40, 80]), [1, 0, 0]),
  west: piece("wall-b", "wall", box([-40, -40, 0], [0, 40, 80]), [-1, 0, 0]),
  cutter: piece("cutter-base", "cutter", box([-35, -35, 0], [35, 35, 20]), null),
});

const moves = [
  { part: "wall-b", direction: [-1, 0, 0] as [number, number, number], mm: 50 },
  { part: "wall-a", direction: [1, 0, 0] as [number, number, number], mm: 50 },
];

test("closed, every part is where it works, and tools lie on the ground beside the mold", () => {
  const { pot, east, west, cutter } = scene();
  const pieces = [pot, east, west, cutter];
  const seen = arrange(pieces, apartOffsets(pieces, 0), new Set());
  for (const one of [pot, east, west]) expect(one.object.position.length()).toBe(0);
  expect(cutter.object.position.x + cutter.box.min.x).toBeGreaterThan(40);
  expect(seen.all.min.toArray()).toEqual([-40, -40, 0]);
  expect(seen.mold.max.x).toBe(40);
  expect(seen.all.max.x).toBe(cutter.object.position.x + 35);
});

test("tools can lie along the other axis", () => {
  const pieces = Object.values(scene());
  arrange(pieces, apartOffsets(pieces, 0.5), new Set(), "y");
  const { object, box: bounds } = pieces[3];
  expect(object.position.y + bounds.min.y).toBeGreaterThan(40);
  expect(object.position.x).toBeCloseTo(0, 9);
});

test("the first look comes from near the front, between the ways of parts and never along one", () => {
  const degrees = (ways: number[]) => {
    const pieces = ways.map((way) => {
      const angle = (way * Math.PI) / 180;
      return { apart: new Vector3(Math.cos(angle), Math.sin(angle), 0) };
    });
    return (homeSide(pieces) * 180) / Math.PI;
  };
  expect(degrees([])).toBeCloseTo(-58, 6);
  for (const ways of [
    [0, 180],
    [90, -90],
    [45, 135, -135, -45],
    [30, 150, -90],
    [-58, 122],
  ]) {
    const side = degrees(ways);
    const nearest = Math.min(...ways.map((way) => Math.abs(((side - way + 540) % 360) - 180)));
    const widest = 360 / ways.length;
    expect(nearest).toBeGreaterThan(0.3 * widest);
    expect(Math.cos(((side + 58) * Math.PI) / 180)).toBeGreaterThan(-0.01);
  }
});

test("apart, parts go along their way and the clay stays", () => {
  const { pot, east, west } = scene();
  const pieces = [pot, east, west];
  arrange(pieces, apartOffsets(pieces, 0.5), new Set());
  expect(pot.object.position.length()).toBe(0);
  expect(east.object.position.x).toBeGreaterThan(20);
  expect(west.object.position.x).toBeCloseTo(-east.object.position.x, 9);
});

test("what is hidden takes no room, and all hidden leaves an empty box", () => {
  const pieces = Object.values(scene());
  const offsets = apartOffsets(pieces, 0.5);
  expect(arrange(pieces, offsets, new Set(["mold", "tools"])).all.max.x).toBe(30);
  expect(arrange(pieces, offsets, new Set(["mold", "tools", "clay"])).all.isEmpty()).toBe(true);
});

test("opening, parts leave one after another, each free and clear of the closed mold", () => {
  const pieces = Object.values(scene());
  const x = (position: number) => openingOffsets(pieces, moves, position).map((offset) => offset.x + 0);
  expect(x(0)).toEqual([0, 0, 0, 0]);
  const [clay, east, west] = x(0.5);
  expect([clay, east]).toEqual([0, 0]);
  expect(west).toBeLessThan(-25);
  const [, waits, away] = x(1);
  expect(waits).toBe(0);
  expect(away).toBeLessThan(-50);
  expect(away).toBeCloseTo(2 * west, 9);
  const [, gone, stays] = x(2);
  expect(stays).toBe(away);
  expect(gone).toBeCloseTo(-away, 9);
  expect(x(7)).toEqual(x(2));
});
