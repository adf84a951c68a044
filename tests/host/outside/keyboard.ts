import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { join } from "node:path";
import type { Frame } from "playwright-core";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** What has the focus in the preview, in a few words; empty when nothing has. */
const focused = (preview: Frame): Promise<string> =>
  preview.evaluate(() => {
    const at = document.activeElement;
    if (!at || at === document.body || !document.hasFocus()) return "";
    const shown = getComputedStyle(at.matches(".choice input") ? (at.parentElement ?? at) : at);
    const ring = shown.outlineStyle !== "none" && parseFloat(shown.outlineWidth) >= 1.5;
    const name = at.getAttribute("aria-label") ?? at.id ?? at.textContent ?? "";
    return `${at.tagName.toLowerCase()} ${name.trim()}${ring ? "" : " WITHOUT A RING"}`;
  });

/** From an open folder to a finished export without a mouse. */
export const keyboard: OutsideTest = {
  name: "keyboard alone: open a design, look around, go to a line, export",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("octagon-beaker.mold.ts");
      await page.keyboard.press("Control+k");
      await page.keyboard.press("v");
      const preview = await workbench.preview();
      const picture = preview.locator(".picture");
      const there = ({ clay, plastic }: { clay: number; plastic: number }) => clay > 0.01 && plastic > 0.03;
      const first = await workbench.waitForPicture(picture, there, 90_000);

      await page.keyboard.press("Control+2");
      await preview.waitForFunction(() => document.hasFocus());
      // Tab by Tab through the page: each stop can be seen, and none holds the focus for ever.
      const stops: string[] = [];
      for (let i = 0; i < 40; i++) {
        await page.keyboard.press("Tab");
        const stop = await focused(preview);
        if (stop === "" || stop === stops[0]) break;
        stops.push(stop);
      }
      assert.deepEqual(
        stops.filter((stop) => stop.includes("WITHOUT")),
        [],
      );
      for (const wanted of [
        /^canvas/,
        /^input apart/,
        /opening-position|Opening order/,
        /^button.*Back to the first view/,
      ])
        assert.ok(
          stops.some((stop) => wanted.test(stop)),
          `no stop at ${wanted.source} among ${stops.join(" | ")}`,
        );

      await page.keyboard.press("Control+2");
      for (let i = 0; i < 40 && !(await focused(preview)).startsWith("canvas"); i++)
        await page.keyboard.press("Tab");
      assert.match(await focused(preview), /^canvas/);
      await page.keyboard.press("ArrowLeft");
      await page.keyboard.press("ArrowUp");
      const turned = await workbench.waitForPicture(
        picture,
        (shares) => there(shares) && shares.print !== first.print,
      );
      await page.keyboard.press("c");
      await preview.locator('input[value="across"]:checked').waitFor({ state: "attached" });
      await workbench.waitForPicture(picture, (shares) => shares.print !== turned.print);
      await page.screenshot({ path: join(results, "keyboard-cut.png") });
      await page.keyboard.press("PageUp");
      await page.keyboard.press("d");
      await preview.locator(".label.dimension:visible").first().waitFor();
      await page.keyboard.press(".");
      await preview.locator("#opening-caption", { hasText: /^1 of \d/ }).waitFor({ state: "attached" });
      await page.screenshot({ path: join(results, "keyboard-opening.png") });

      await page.keyboard.press("F1");
      const input = page.locator(".quick-input-widget input").first();
      await input.waitFor();
      await page.keyboard.type("Slabwright: Export All");
      await page
        .locator(".quick-input-list .monaco-list-row", { hasText: "Export All Mold Parts" })
        .first()
        .waitFor();
      await page.keyboard.press("Enter");
      for (const question of [/where to/, /which files/]) {
        await page.locator(".quick-input-title", { hasText: question }).first().waitFor();
        await page.keyboard.press("Enter");
      }
      await page
        .locator(".notification-toast", { hasText: /files written/ })
        .first()
        .waitFor({ timeout: 180_000 });
      assert.ok(existsSync(join(workspace, "out", "octagon-beaker", "manifest.json")));
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "keyboard-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
