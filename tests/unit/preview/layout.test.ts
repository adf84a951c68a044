import { describe, expect, test } from "vitest";
import { layOut, type Box, type SeenLength } from "../../../src/preview/scene/layout.ts";

const frame: Box = { x: 0, y: 0, width: 600, height: 500 };
/** A body seen from the front: 200 wide, 300 high. */
const outline = [
  { x: 200, y: 100 },
  { x: 400, y: 100 },
  { x: 400, y: 400 },
  { x: 200, y: 400 },
];
const words = { width: 110, height: 20 };
const height: SeenLength = { from: { x: 400, y: 400 }, to: { x: 400, y: 100 }, ...words, outside: true };
const rim: SeenLength = { from: { x: 200, y: 100 }, to: { x: 400, y: 100 }, ...words, outside: true };
const waist: SeenLength = { from: { x: 220, y: 250 }, to: { x: 380, y: 250 }, ...words, outside: false };

const overlap = (a: Box, b: Box) =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

describe("lengths laid out on the picture", () => {
  test("stand beside the body, away from its middle, with extension lines from its points", () => {
    const [right, above] = layOut([height, rim], outline, [], frame);
    expect(right?.line[0].x).toBeGreaterThan(400);
    expect(right?.line.map(({ y }) => Math.round(y))).toEqual([400, 100]);
    expect(above?.line[0].y).toBeLessThan(100);
    expect(above?.line[0].y).toBe(above?.line[1].y);
    for (const laid of [right, above]) expect(laid?.extensions).toHaveLength(2);
    expect(right?.extensions[1][0].x).toBeLessThan(right?.line[1].x ?? 0);
    expect(right?.extensions[1][1].x).toBeGreaterThan(right?.line[1].x ?? 0);
  });

  test("go across the body where they measure its middle", () => {
    const [across] = layOut([waist], outline, [], frame);
    expect(across?.line).toEqual([waist.from, waist.to]);
    expect(across?.extensions).toEqual([]);
  });

  test("cover neither each other nor what is taken", () => {
    const taken = [{ x: 240, y: 60, width: 120, height: 30 }];
    const same = layOut([rim, rim, rim, waist, waist, height, height], outline, taken, frame);
    const boxes = [...taken, ...same.flatMap((laid) => laid?.words ?? [])];
    expect(boxes.length).toBeGreaterThan(5);
    boxes.forEach((a, i) => boxes.slice(i + 1).forEach((b) => expect(overlap(a, b)).toBe(false)));
  });

  test("are left out where they are seen too short, or there is no room", () => {
    const short = { ...height, to: { x: 402, y: 380 } };
    expect(layOut([short], outline, [], frame)).toEqual([null]);
    expect(layOut([rim], outline, [frame], frame)).toEqual([null]);
    expect(layOut([height], outline, [], { ...frame, width: 420 })).toEqual([null]);
  });

  test("turn with the picture: a quarter turn of everything is a quarter turn of the lines", () => {
    const turn = ({ x, y }: { x: number; y: number }) => ({ x: 500 - y, y: x });
    const [upright] = layOut([height], outline, [], frame);
    const turned = { ...height, from: turn(height.from), to: turn(height.to) };
    const [lying] = layOut([turned], outline.map(turn), [], { x: 0, y: 0, width: 500, height: 600 });
    upright?.line.map(turn).forEach((point, i) => {
      expect(lying?.line[i].x).toBeCloseTo(point.x, 9);
      expect(lying?.line[i].y).toBeCloseTo(point.y, 9);
    });
  });
});
