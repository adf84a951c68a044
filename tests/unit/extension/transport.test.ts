import { describe, expect, test } from "vitest";
import type { ToPreview } from "../../../shared/preview.ts";
import { nothingYet, type DesignState } from "../../../src/extension/design/state.ts";
import { messageBytes } from "../../../src/extension/panel/shipment.ts";
import { Transport } from "../../../src/extension/panel/transport.ts";

/** A state with one surface of about so many bytes. */
function state(build: number, digest = "a", bytes = 600): DesignState {
  const corners = Math.floor(bytes / 6);
  const geometry = {
    positions: new Uint16Array(corners),
    triangles: new Uint16Array(corners),
    edges: new Uint16Array(corners),
    min: [0, 0, 0] as [number, number, number],
    max: [1, 1, 1] as [number, number, number],
    groups: [],
  };
  const surfaces = [{ name: digest, role: "wall" as const, digest, geometry, apart: null }];
  const size: [number, number, number] = [1, 1, 1];
  const mold = { name: "m", summary: "", fired: size, wet: size, surfaces, moves: [], dimensions: [] };
  return { ...nothingYet, build, molds: [{ ...mold, calls: [], numbers: null }] };
}

function open() {
  const posted: ToPreview[] = [];
  const transport = new Transport(
    (message) => posted.push(message),
    ({ build }, molds) => ({ type: "show", build, molds, findings: [], params: [], calls: [] }),
  );
  /** What was posted since this was last asked, such as `show 3` or `stock 1`. */
  const news = () =>
    posted.splice(0).map((message) => {
      if (message.type === "show") {
        const [surface] = message.molds?.[0].surfaces ?? [];
        return `show ${message.build}${surface?.geometry || surface?.stocked ? " with geometry" : ""}`;
      }
      return message.type === "stock" ? `stock ${message.number}` : message.type;
    });
  return { transport, news };
}

describe("one state at a time", () => {
  test("the next waits for the paint of the one before, and the newest of those waiting is taken", () => {
    const { transport, news } = open();
    transport.offer(state(1));
    transport.offer(state(2));
    expect(news()).toEqual(["show 1 with geometry"]);
    expect(transport.painted(2)).toBeUndefined();
    expect(transport.painted(1)?.state.build).toBe(1);
    transport.offer(state(3));
    expect(news()).toEqual(["show 3"]);
  });

  test("what is on the screen is not sent twice, and nothing before the first result", () => {
    const { transport, news } = open();
    transport.offer(nothingYet);
    transport.offer(state(1));
    transport.painted(1);
    transport.offer(state(1));
    expect(news()).toEqual(["show 1 with geometry"]);
  });
});

describe("large geometry", () => {
  const large = 2.5 * messageBytes;

  test("goes ahead in pieces, each after the answer to the one before", () => {
    const { transport, news } = open();
    const one = state(1, "a", large);
    transport.offer(one);
    expect(news()).toEqual(["stock 1"]);
    transport.stocked(7, one);
    expect(news()).toEqual([]);
    for (const number of [1, 2]) transport.stocked(number, one);
    expect(news()).toEqual(["stock 2", "stock 3"]);
    transport.stocked(3, one);
    expect(news()).toEqual(["show 1 with geometry"]);
    expect(transport.painted(1)?.bytes).toBeGreaterThan(0.99 * large);
  });

  test("a newer state takes the place of what has not been sent of it", () => {
    const { transport, news } = open();
    transport.offer(state(1, "a", large));
    transport.stocked(1, state(2, "b"));
    expect(news()).toEqual(["stock 1", "show 2 with geometry"]);
  });

  test("half sent to a page that went out of sight, it starts afresh", () => {
    const { transport, news } = open();
    const one = state(1, "a", large);
    transport.offer(one);
    transport.breakOff();
    transport.offer(one);
    expect(news()).toEqual(["stock 1", "stock 2"]);
  });
});

test("a page that knows nothing gets everything", () => {
  const { transport, news } = open();
  transport.offer(state(1));
  transport.painted(1);
  transport.reset();
  transport.offer(state(1));
  expect(news()).toEqual(["show 1 with geometry", "show 1 with geometry"]);
});

test("after a fault in the page a newer state does not wait, and the answer is still heard", () => {
  const { transport, news } = open();
  transport.offer(state(1));
  transport.doubt();
  transport.offer(state(1));
  expect(news()).toEqual(["show 1 with geometry"]);
  transport.offer(state(2));
  transport.offer(state(3));
  expect(news()).toEqual(["show 2 with geometry"]);
  expect(transport.painted(2)?.state.build).toBe(2);

  transport.offer(state(4));
  transport.doubt();
  expect(transport.painted(4)?.state.build).toBe(4);
});
