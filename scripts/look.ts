/**
 * Pictures of a design as the preview draws it, to be looked at: each theme, open, closed, cut and
 * opening, into `out/look`. Usage:
 *
 *     node scripts/look.ts [DESIGN]
 *
 * DESIGN is `examples/octagon-beaker.mold.ts` unless said otherwise.
 */
import { mkdir } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { Engine } from "../src/dsl/engine/engine.ts";
import { englishSentence } from "../src/dsl/engine/findings.ts";
import { packages } from "../src/dsl/engine/packages.ts";
import { computeBuild, computeExport } from "../src/dsl/engine/pipeline.ts";
import type { Quality } from "../shared/engine.ts";
import { launchBrowser } from "./host/browser.ts";
import { ensureChromium } from "./host/chromium.ts";
import { openStage, themes, type ThemeName } from "./look/open.ts";
import { sendable } from "./look/sent.ts";

const root = join(import.meta.dirname, "..");
const entry = resolve(process.argv[2] ?? join(root, "examples/octagon-beaker.mold.ts"));
const wanted = process.argv[3] ?? "";
const out = join(root, "out/look");
await mkdir(out, { recursive: true });

const engine = new Engine(
  { packages, computeBuild, computeExport, sentence: englishSentence, plainDesign: "" },
  () => undefined,
);
async function built(quality: Quality) {
  const result = await engine.build({
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
const coarse = await built("typing");
const mold = await built("idle");
console.log(
  "coarse",
  coarse.surfaces.map(({ name, geometry }) => [name, (geometry?.triangles.length ?? 0) / 3]),
);
console.log("moves", JSON.stringify(mold.moves), "dimensions", JSON.stringify(mold.dimensions));
console.log(JSON.stringify(mold.surfaces[0].geometry?.groups));
if (mold.dimensions.length === 0) {
  const [x, y, z] = mold.wet;
  mold.dimensions.push(
    { what: "height", from: [0, 0, 0], to: [0, 0, z], wet: z, fired: mold.fired[2] },
    { what: "rim", from: [-x / 2, 0, z], to: [x / 2, 0, z], wet: x, fired: mold.fired[0] },
    {
      what: "foot",
      from: [-x / 2.5, 0, 0],
      to: [x / 2.5, 0, 0],
      wet: (x / 2.5) * 2,
      fired: (mold.fired[0] / 2.5) * 2,
    },
    {
      what: "narrowest",
      from: [0, -y / 2.2, z / 2],
      to: [0, y / 2.2, z / 2],
      wet: y / 1.1,
      fired: mold.fired[1] / 1.1,
    },
  );
}
const chromium = await ensureChromium();
if ("missing" in chromium) throw new Error(chromium.missing);
const browser = await launchBrowser(chromium.path);
const [x, y, z] = mold.wet;
const marks = [
  { index: 0, severity: "error" as const, at: [[x / 2, 0, z * 0.6] as const, [x / 2, 5, z * 0.4] as const] },
  {
    index: 1,
    severity: "warning" as const,
    at: [[0, -y / 2, z * 0.8] as const],
    part: mold.surfaces[1].name,
  },
  { index: 2, severity: "info" as const, at: [[0, 0, z / 2] as const] },
  { index: 11, severity: "warning" as const, at: [[0, y / 2, z * 0.2] as const] },
];
try {
  for (const theme of Object.keys(themes) as ThemeName[]) {
    if (wanted && !wanted.includes(theme)) continue;
    const page = await openStage(browser, { width: 900, height: 640 }, theme);
    for (let i = 0; i < 3; i++)
      console.log(
        theme,
        "coarse shown in ms",
        Math.round(
          await page.evaluate(
            (m) => window.showMold(m),
            sendable({ ...coarse, surfaces: coarse.surfaces.map((s) => ({ ...s, digest: s.digest + i })) }),
          ),
        ),
      );
    console.log(
      theme,
      "idle shown in ms",
      Math.round(await page.evaluate((m) => window.showMold(m), sendable(mold))),
    );
    const shot = async (name: string) => {
      await page.evaluate(() => window.drawn());
      await page.screenshot({ path: join(out, `${theme}-${name}.png`) });
    };
    await page.evaluate(() => {
      window.stage.apart = 0.35;
    });
    await shot("1-apart");
    await page.evaluate(() => {
      window.stage.apart = 0;
    });
    await shot("2-closed");
    await page.evaluate(() => {
      window.stage.section = { axis: "y", share: 0.5 };
    });
    await shot("3-cut-y");
    await page.evaluate(() => {
      window.stage.apart = 0.3;
      window.stage.section = { axis: "x", share: 0.5 };
    });
    await shot("4-cut-x-apart");
    await page.evaluate(() => {
      window.stage.section = { axis: "z", share: 0.6 };
      window.stage.apart = 0.1;
    });
    await shot("5-cut-z");
    await page.evaluate(() => {
      window.stage.section = null;
      window.stage.opening = 1.5;
    });
    await shot("6-opening");
    await page.evaluate((marks) => {
      window.stage.opening = null;
      window.stage.apart = 0.35;
      window.stage.marks = marks;
      window.stage.activeMark = 0;
      window.stage.dimensions = "both";
    }, marks);
    await shot("7-marks");
    await page.evaluate(() => {
      window.stage.marks = [];
      const call = window.pieces[0].shape.runs.find(({ label }) => label === "flange")?.call ?? -1;
      window.stage.dimensions = "off";
      window.stage.light(new Set([call]));
    });
    await shot("8-lit");
    await page.close();
  }
} finally {
  await browser.close();
}
