import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import type { SurfaceView } from "../../shared/engine.ts";
import { launchBrowser } from "../../scripts/host/browser.ts";
import { ensureChromium } from "../../scripts/host/chromium.ts";
import { openStage } from "../../scripts/look/open.ts";
import { sendable, type Drawable } from "../../scripts/look/sent.ts";
import { box } from "./boxes.ts";

type Vec = [number, number, number];

let browser: Browser;
let page: Page;

beforeAll(async () => {
  const chromium = await ensureChromium();
  if ("missing" in chromium) throw new Error(chromium.missing);
  browser = await launchBrowser(chromium.path);
});
afterAll(() => browser?.close());

/** A pot between two wall parts that open to the sides, and a floor that stands apart behind them. */
const surfaces = (): SurfaceView[] => [
  box("vessel", "vessel", {
    from: [-20, -20, 0],
    to: [20, 20, 40],
    hollow: { from: [-8, -8, 8], to: [8, 8, 32] },
  }),
  box("wall-a", "wall", { from: [20, -20, 0], to: [40, 20, 40], apart: [1, 0, 0], firstCall: 11 }),
  box("wall-b", "wall", { from: [-40, -20, 0], to: [-20, 20, 40], apart: [-1, 0, 0], firstCall: 21 }),
  box("floor", "floor", { from: [-50, 30, 0], to: [50, 50, 60], firstCall: 31 }),
];

const mold: Drawable = {
  name: "boxes",
  summary: "",
  fired: [35, 35, 35],
  wet: [40, 40, 40],
  surfaces: surfaces(),
  moves: [
    { part: "wall-b", direction: [-1, 0, 0], mm: 40 },
    { part: "wall-a", direction: [1, 0, 0], mm: 40 },
  ],
  dimensions: [
    { what: "height", from: [20, -20, 0], to: [20, -20, 40], wet: 40, fired: 35 },
    { what: "rim", from: [-20, 0, 40], to: [20, 0, 40], wet: 40, fired: 35 },
  ],
};

/** One page for all, as it was before the first. */
beforeEach(async () => {
  page ??= await openStage(browser, { width: 500, height: 400 }, "light");
  await page.mouse.move(1, 1);
  await page.evaluate(() => {
    window.stage.section = null;
    window.stage.opening = null;
    window.stage.apart = 0;
    window.stage.marks = [];
    window.stage.dimensions = "off";
    window.stage.light(new Set());
    window.told = [];
  });
  await page.evaluate((sent) => window.showMold(sent), sendable(mold));
  await lookFrom([0, -300, 0]);
});

/** The eye at `offset` from the middle of the pot. */
async function lookFrom(offset: Vec): Promise<void> {
  await page.evaluate((offset) => {
    window.stage.view = { offset, target: [0, 0, 20], fitted: false };
  }, offset);
}

/** Colours on a field of 7 × 7 places about what is seen at `at`, 3 px apart. */
async function fieldAt(at: Vec): Promise<number[][]> {
  return page.evaluate((at) => {
    const [x, y] = window.seenAt(at);
    const points: [number, number][] = [];
    for (let i = -3; i <= 3; i++) for (let j = -3; j <= 3; j++) points.push([x + 3 * i, y + 3 * j]);
    return window.colorsAt(points);
  }, at);
}

/** The colour that most places of a field have. */
async function toneAt(at: Vec): Promise<string> {
  const counts = new Map<string, number>();
  for (const color of await fieldAt(at)) counts.set(color.join(), (counts.get(color.join()) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0][0];
}

const clayCut = "201,151,114,255";
const wallCuts = ["115,150,170,255", "150,180,194,255"];
const floorCut = "139,151,163,255";

const told = (kind: string) => page.evaluate((kind) => window.told.filter(([name]) => name === kind), kind);

describe("a cut", () => {
  beforeEach(() =>
    page.evaluate(() => {
      window.stage.section = { axis: "y", share: 20 / 70 };
    }),
  );

  test("gives each piece a cap in its own material, with hatching in it", async () => {
    expect(await toneAt([-15, 0, 20])).toBe(clayCut);
    expect(await toneAt([15, 0, 36])).toBe(clayCut);
    expect(await toneAt([30, 0, 20])).toBe(wallCuts[0]);
    expect(await toneAt([-30, 0, 20])).toBe(wallCuts[1]);
    for (const at of [
      [-14, 0, 20],
      [30, 0, 20],
    ] as Vec[]) {
      const colors = new Set((await fieldAt(at)).map((color) => color.join()));
      expect(colors.size).toBeGreaterThan(2);
    }
  });

  test("leaves a hollow open, and what is whole behind it uncapped", async () => {
    const inside = await toneAt([0, 0, 20]);
    expect(inside).not.toBe(clayCut);
    expect(inside).not.toBe(floorCut);
    expect(await toneAt([0, 30, 55])).not.toBe(floorCut);
  });

  test("is right with parts apart, and where one stands before another", async () => {
    await page.evaluate(() => {
      window.stage.apart = 0.4;
      window.stage.section = { axis: "y", share: 0.9 };
    });
    expect(await toneAt([0, 43, 20])).toBe(floorCut);
    await page.evaluate(() => {
      window.stage.section = { axis: "y", share: 20 / 70, flip: true };
    });
    await lookFrom([0, 300, 0]);
    expect(await toneAt([-15, 0, 20])).toBe(clayCut);
    const moved = await page.evaluate(() => window.pieces[1].object.position.x);
    expect(moved).toBeGreaterThan(10);
    expect(await toneAt([30 + moved, 0, 20])).toBe(wallCuts[0]);
  });

  test("tells where it is in mm", async () => {
    const place = await page.evaluate(() => window.stage.sectionPlace("y", 0.25));
    expect(place).toEqual({ from: -20, to: 50, at: -2.5 });
  });

  test("is met by the pointer; what is cut away is not", async () => {
    const click = async (at: Vec) => {
      const [x, y] = await page.evaluate((at) => window.seenAt(at), at);
      await page.mouse.click(x, y);
    };
    await click([-15, 0, 20]);
    await click([0, 0, 20]);
    await click([0, 30, 55]);
    expect(await told("pick")).toEqual([
      ["pick", 1, "vessel", "below"],
      ["pick", -1, "vessel", ""],
      ["pick", 33, "floor", "front"],
    ]);
  });
});

test("a click picks, a drag turns, and rest tells what is under the pointer", async () => {
  const [x, y] = await page.evaluate(() => window.seenAt([30, -20, 20]));
  await page.mouse.move(x, y);
  await expect.poll(() => told("hover")).toContainEqual(["hover", 13, "wall-a", "front"]);
  await page.mouse.click(x, y);
  expect(await told("pick")).toEqual([["pick", 13, "wall-a", "front"]]);
  await page.mouse.down();
  await page.mouse.move(x + 60, y, { steps: 4 });
  await page.mouse.up();
  expect(await told("pick")).toHaveLength(1);
  expect((await told("view")).length).toBeGreaterThan(0);
});

test("lit faces change their look, and others do not", async () => {
  const before = [await fieldAt([30, -20, 20]), await fieldAt([0, -20, 20])];
  await page.evaluate(() => window.stage.light(new Set([13])));
  expect(await fieldAt([30, -20, 20])).not.toEqual(before[0]);
  expect(await fieldAt([0, -20, 20])).toEqual(before[1]);
  await page.evaluate(() => window.stage.light(new Set([13]), window.pieces[2]));
  expect(await fieldAt([30, -20, 20])).toEqual(before[0]);
});

test("in the opening the parts leave one after another, and null gives them back to the slider", async () => {
  const at = async (opening: number | null) => {
    await page.evaluate((opening) => {
      window.stage.opening = opening;
    }, opening);
    await page.evaluate(() => window.stage.sectionPlace("x", 0));
    return page.evaluate(() => window.pieces.map(({ object }) => Math.round(object.position.x) + 0));
  };
  expect(await at(0)).toEqual([0, 0, 0, 0]);
  const [, waits, leaves] = await at(1);
  expect(waits).toBe(0);
  expect(leaves).toBeLessThan(-40);
  expect(await at(2)).toEqual([0, -leaves, leaves, 0]);
  expect(await at(null)).toEqual([0, 0, 0, 0]);
});

test("findings stand at their places, are fainter behind something, and can be clicked", async () => {
  await page.evaluate(() => {
    window.stage.apart = 0.5;
    window.stage.marks = [
      { index: 0, severity: "error", at: [[-10, -20, 30]] },
      { index: 1, severity: "warning", at: [[0, 20, 20]] },
      { index: 4, severity: "info", at: [[30, -20, 20]], part: "wall-a" },
    ];
  });
  await expect.poll(() => page.locator(".mark.behind").allTextContents()).toEqual(["2"]);
  const [away, places] = await page.evaluate(() => [
    window.pieces[1].object.position.x,
    [...document.querySelectorAll(".mark")].map((mark) => {
      const { left, top, width, height } = mark.getBoundingClientRect();
      return [left + width / 2, top + height / 2];
    }),
  ]);
  const seen = await page.evaluate((away) => window.seenAt([30 + away, -20, 20]), away);
  expect(away).toBeGreaterThan(10);
  expect(Math.abs(places[2][0] - seen[0])).toBeLessThan(1);
  expect(Math.abs(places[2][1] - seen[1])).toBeLessThan(1);
  await page.locator(".mark.info").click();
  expect(await told("mark")).toEqual([["mark", 4]]);
});

test("sizes are written on the picture as asked for", async () => {
  const words = async (mode: "off" | "wet" | "fired" | "both") => {
    await page.evaluate((mode) => {
      window.stage.dimensions = mode;
    }, mode);
    await page.evaluate(() => window.colorsAt([]));
    return page.locator(".dimension:visible").allTextContents();
  };
  expect(await words("both")).toEqual(["35 fired · 40 wet", "35 fired · 40 wet"]);
  expect(await words("wet")).toEqual(["40 wet", "40 wet"]);
  // Seen from above there is no height to be seen.
  await lookFrom([0, -1, 400]);
  expect(await words("fired")).toEqual(["35 fired"]);
  expect(await words("off")).toEqual([]);
});

test("after a lost context everything is as it was", async () => {
  await page.evaluate(() => {
    window.stage.section = { axis: "y", share: 20 / 70 };
    window.stage.light(new Set([33]));
  });
  const places: Vec[] = [
    [-15, 0, 20],
    [30, 0, 20],
    [0, 0, 20],
    [0, 30, 55],
    [0, -30, 0],
  ];
  const all = async () => Promise.all(places.map((at) => fieldAt(at)));
  await lookFrom([0, -300, 60]);
  await page.evaluate(() => window.drawn());
  const before = await all();
  await page.evaluate(async () => {
    const gl = (document.querySelector("canvas") as HTMLCanvasElement).getContext("webgl2");
    const loss = gl?.getExtension("WEBGL_lose_context");
    if (!loss) throw new Error("this browser cannot lose a context");
    loss.loseContext();
    await new Promise((resolve) => setTimeout(resolve, 50));
    loss.restoreContext();
  });
  await expect
    .poll(() => told("context"))
    .toEqual([
      ["context", true],
      ["context", false],
    ]);
  await page.evaluate(() => window.drawn());
  expect(await all()).toEqual(before);
});

test("nothing is drawn while the page is hidden, and what has changed is drawn when it is seen again", async () => {
  await page.evaluate(() => window.drawn());
  const [hidden, seen] = await page.evaluate(async () => {
    let calls = 0;
    const gl = (document.querySelector("canvas") as HTMLCanvasElement).getContext("webgl2");
    if (!gl) throw new Error("no context");
    for (const name of ["drawArrays", "drawElements"] as const) {
      const draw = gl[name].bind(gl) as (...given: unknown[]) => void;
      gl[name] = (...given: unknown[]) => {
        calls++;
        draw(...given);
      };
    }
    let away = true;
    Object.defineProperty(document, "hidden", { get: () => away, configurable: true });
    const rest = () => new Promise((resolve) => setTimeout(resolve, 1500));
    window.stage.apart = 0.8;
    await rest();
    const hidden = calls;
    away = false;
    document.dispatchEvent(new Event("visibilitychange"));
    await rest();
    Reflect.deleteProperty(document, "hidden");
    return [hidden, calls];
  });
  expect(hidden).toBe(0);
  expect(seen).toBeGreaterThan(0);
});

test("without WebGL the stage throws", async () => {
  const other = await openStage(browser, { width: 500, height: 400 }, "light");
  const thrown = await other.evaluate(() => {
    HTMLCanvasElement.prototype.getContext = () => null;
    const canvas = document.createElement("canvas");
    document.querySelector("canvas")?.replaceWith(canvas);
    try {
      window.startStage();
      return "";
    } catch (error) {
      return String(error);
    }
  });
  await other.close();
  expect(thrown).toMatch(/WebGL/);
});
