/**
 * Pictures of a design as the preview draws it, to be looked at: open, closed, cut, opening, with
 * findings and sizes, in each theme, into `out/look`. Usage:
 *
 *     node scripts/look.ts [DESIGN] [THEMES] [PICTURES]
 *
 * DESIGN is `examples/octagon-beaker.mold.ts` unless said otherwise; THEMES and PICTURES are names
 * with commas between, all of them unless said otherwise.
 */
import { mkdir } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import type { MoldView, Quality } from "../shared/engine.ts";
import { Engine } from "../src/dsl/engine/engine.ts";
import { parts } from "../src/dsl/engine/parts.ts";
import { launchBrowser } from "./host/browser.ts";
import { ensureChromium } from "./host/chromium.ts";
import { openStage, themes, type ThemeName } from "./look/open.ts";
import { sendable } from "./look/sent.ts";

const root = join(import.meta.dirname, "..");
const entry = resolve(process.argv[2] || join(root, "examples/octagon-beaker.mold.ts"));
const listed = (names: string | undefined) => (names ? names.split(",") : undefined);
const themeNames = listed(process.argv[3]) ?? Object.keys(themes);
const pictureNames = listed(process.argv[4]);
const out = join(root, "out/look");
await mkdir(out, { recursive: true });

async function built(quality: Quality): Promise<MoldView> {
  const result = await new Engine(parts, () => undefined).build({
    type: "build",
    id: 1,
    entry,
    root: dirname(entry),
    overlays: {},
    overrides: {},
    quality,
    have: [],
    fixes: false,
  });
  if (result.problem) throw new Error(result.problem.message);
  return result.molds[0];
}

/** Each changes something on the stage of the page it runs in, after the one before. */
const pictures: Record<string, () => void> = {
  apart: () => {
    window.stage.apart = 0.35;
  },
  closed: () => {
    window.stage.apart = 0;
  },
  along: () => {
    window.stage.apart = 0;
    window.stage.section = { axis: "y", share: 0.5 };
  },
  across: () => {
    window.stage.apart = 0.3;
    window.stage.section = { axis: "x", share: 0.6 };
  },
  level: () => {
    window.stage.apart = 0.08;
    window.stage.section = { axis: "z", share: 0.6 };
  },
  opening: () => {
    window.stage.section = null;
    window.stage.opening = 1.6;
  },
  marks: () => {
    window.stage.section = null;
    window.stage.opening = null;
    window.stage.apart = 0.35;
    const { min, max } = (window.pieces.find(({ role }) => role === "vessel") ?? window.pieces[0]).box;
    const z = (share: number) => min.z + share * (max.z - min.z);
    window.stage.marks = [
      { index: 0, severity: "error", at: [0.5, 0.6, 0.7].map((share) => [max.x, 0, z(share)] as const) },
      { index: 1, severity: "warning", at: [[0, min.y, z(0.8)]], part: window.pieces[1].name },
      { index: 2, severity: "info", at: [[min.x * 0.6, min.y * 0.6, z(0.7)]] },
      { index: 11, severity: "warning", at: [[0, max.y, z(0.2)]] },
    ];
    window.stage.activeMark = 0;
  },
  sizes: () => {
    window.stage.section = null;
    window.stage.marks = [];
    window.stage.opening = null;
    window.stage.apart = 0.35;
    window.stage.dimensions = "both";
  },
  "sizes-of-clay": () => {
    window.stage.dimensions = "both";
    window.stage.hidden = new Set(["mold", "tools"]);
  },
  lit: () => {
    window.stage.hidden = new Set();
    window.stage.section = null;
    window.stage.marks = [];
    window.stage.dimensions = "off";
    window.stage.apart = 0.35;
    const keys = window.pieces[0].shape.runs.find(({ label }) => label === "key");
    window.stage.light(new Set([keys?.call ?? -1]));
  },
};

const mold = await built("idle");
const chromium = await ensureChromium();
if ("missing" in chromium) throw new Error(chromium.missing);
const browser = await launchBrowser(chromium.path);
try {
  for (const theme of themeNames as ThemeName[]) {
    const page = await openStage(browser, { width: 760, height: 600 }, theme);
    await page.evaluate((sent) => window.showMold(sent), sendable(mold));
    for (const [name, change] of Object.entries(pictures)) {
      if (pictureNames && !pictureNames.includes(name)) continue;
      await page.evaluate(change);
      await page.evaluate(() => window.drawn());
      const file = `${basename(entry, ".mold.ts")}-${theme}-${name}.png`;
      await page.screenshot({ path: join(out, file) });
      console.log(join("out/look", file));
    }
    await page.close();
  }
} finally {
  await browser.close();
}
