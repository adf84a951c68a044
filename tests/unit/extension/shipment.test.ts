import { describe, expect, test } from "vitest";
import type { MoldView, SurfaceGeometry } from "../../../shared/engine.ts";
import { toPreview } from "../../../shared/preview.ts";
import { packMolds } from "../../../src/extension/panel/shipment.ts";
import { Stock } from "../../../src/preview/stock.ts";

/** Geometry whose numbers differ with `seed`, `points` points and as many triangles. */
function geometry(seed: number, points: number, wide = false): SurfaceGeometry {
  const numbers = (count: number) => Array.from({ length: count }, (_, i) => (i * 31 + seed * 7) % points);
  const kind = wide ? Uint32Array : Uint16Array;
  return {
    positions: Uint16Array.from(numbers(3 * points)),
    triangles: kind.from(numbers(3 * points)),
    edges: kind.from(numbers(2 * points)),
    min: [0, seed, 0],
    max: [1, seed + 1, 1],
    groups: [{ start: 0, count: points, call: seed, label: "outside" }],
  };
}

function molds(...lists: [string, SurfaceGeometry][][]): MoldView[] {
  return lists.map((list, i) => ({
    name: `m${i}`,
    summary: "",
    fired: [1, 1, 1],
    wet: [1, 1, 1],
    moves: [],
    dimensions: [],
    calls: [],
    numbers: null,
    surfaces: list.map(([digest, one]) => {
      return { name: digest, role: "wall" as const, digest, geometry: one, apart: null };
    }),
  }));
}

/** What the page makes of a shipment. */
function arrived(shipment: ReturnType<typeof packMolds>) {
  const stock = new Stock();
  for (const stretches of shipment.stock) {
    const sent = toPreview.parse({ type: "stock", number: 1, stretches });
    if (sent.type === "stock") stock.add(sent.stretches);
  }
  return stock.fill(shipment.molds).map(({ surfaces }) => surfaces.map((one) => one.geometry));
}

describe("molds arrive as they were sent", () => {
  const samples: [string, [string, SurfaceGeometry][]][] = [
    ["in one message", [["a", geometry(1, 5)]]],
    ["one larger than a message", [["a", geometry(1, 400)]]],
    [
      "odd lengths and wide indices",
      [
        ["a", geometry(1, 333, true)],
        ["b", geometry(2, 77)],
        ["c", geometry(3, 301)],
      ],
    ],
  ];
  test.each(samples)("%s", (_, list) => {
    const shipment = packMolds(molds(list), new Set(), 1000);
    expect(arrived(shipment)).toEqual([list.map(([, one]) => one)]);
    for (const stretches of shipment.stock) {
      expect(stretches.reduce((sum, { bytes }) => sum + bytes.length, 0)).toBeLessThanOrEqual(1000);
    }
  });

  test("what the page holds is not sent again", () => {
    const list: [string, SurfaceGeometry][] = [
      ["a", geometry(1, 400)],
      ["b", geometry(2, 5)],
    ];
    const shipment = packMolds(molds(list), new Set(["a"]), 1000);
    expect(shipment.stock).toEqual([]);
    expect(arrived(shipment)).toEqual([[undefined, list[1][1]]]);
    expect(packMolds(molds(list), new Set(["a", "b"])).bytes).toBe(0);
  });

  test("a surface that several molds show goes once", () => {
    const one = geometry(1, 400);
    const twice = packMolds(molds([["a", one]], [["a", one]]), new Set(), 1000);
    expect(twice.bytes).toBe(packMolds(molds([["a", one]]), new Set()).bytes);
    expect(arrived(twice)).toEqual([[one], [one]]);
  });

  test("arrays are copies: a posted one takes its whole buffer along", () => {
    const one = geometry(1, 5);
    const big = new Uint16Array(10_000);
    one.positions = big.subarray(20, 35);
    const [mold] = packMolds(molds([["a", one]]), new Set()).molds;
    expect(mold.surfaces[0].geometry?.positions.buffer.byteLength).toBe(30);
  });

  test("what was half sent is started afresh", () => {
    const list: [string, SurfaceGeometry][] = [["a", geometry(1, 400)]];
    const stock = new Stock();
    const first = packMolds(molds(list), new Set(), 1000);
    stock.add(first.stock[0]);
    const second = packMolds(molds(list), new Set(), 1500);
    for (const stretches of second.stock) stock.add(stretches);
    expect(stock.fill(second.molds)[0].surfaces[0].geometry).toEqual(list[0][1]);
  });
});
