import assert from "node:assert/strict";
import axe from "axe-core";
import type { Frame } from "playwright-core";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** What axe-core holds against the page, from serious upwards. Run by the debugger, which no content policy stops. */
async function violations(preview: Frame): Promise<string[]> {
  await preview.evaluate(axe.source);
  return preview.evaluate(async () => {
    const { violations } = await (window as unknown as { axe: typeof axe }).axe.run(document, {
      iframes: false,
      resultTypes: ["violations"],
    });
    return violations
      .filter(({ impact }) => impact === "serious" || impact === "critical")
      .flatMap(({ id, nodes }) => nodes.map((node) => `${id}: ${node.html.slice(0, 200)}`));
  });
}

/** Times at which the live region spoke, ms. */
interface Listening {
  spoken: number[];
}

/** The page for those who cannot see it, or cannot see it move. */
export const accessibility: OutsideTest = {
  name: "axe finds nothing serious in the preview; the picture is described; the page speaks seldom",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("numbers.mold.ts");
      await workbench.command("Slabwright: Show Mold Preview");
      const preview = await workbench.preview();
      await preview.locator(".finding-list li").first().waitFor({ timeout: 90_000 });

      const canvas = preview.locator("canvas[role='img']");
      assert.equal(await canvas.getAttribute("role"), "img");
      const described = (await canvas.getAttribute("aria-describedby"))?.split(" ") ?? [];
      const words = await Promise.all(described.map((id) => preview.locator(`#${id}`).textContent()));
      assert.ok(
        words.every((text) => text !== null && text.trim() !== ""),
        "the picture is described",
      );
      assert.equal(await preview.locator('[role="status"][aria-live="polite"]').count(), 1);
      assert.equal(
        await preview.locator("ul.finding-list > li").count(),
        await preview.locator(".finding-list .go").count(),
      );

      for (const drawer of ["findings", "numbers", "opening", "cut", "shown"]) {
        await preview.locator(`.drawers [aria-controls="drawer-${drawer}"]`).click();
        if (drawer === "cut") await preview.locator('input[value="level"]').check();
        assert.deepEqual(await violations(preview), [], `with the drawer of ${drawer} open`);
      }
      await canvas.focus();
      await page.keyboard.press("?");
      await preview.locator("dialog.keys[open]").waitFor();
      await page.screenshot({ path: join(results, "keys.png") });
      assert.deepEqual(await violations(preview), [], "with the list of keys open");
      await page.keyboard.press("Escape");
      await preview.locator("dialog.keys:not([open])").waitFor({ state: "attached" });

      // Where nothing is to move by itself, a step is there at once.
      await page.emulateMedia({ reducedMotion: "reduce" });
      await canvas.focus();
      await page.keyboard.press(".");
      assert.match((await preview.locator("#opening-caption").textContent()) ?? "", /^1 of \d/);
      assert.equal(await preview.locator("#opening-position").inputValue(), "1");
      await page.emulateMedia({ reducedMotion: "no-preference" });

      // While somebody types it does not chatter.
      await preview.evaluate(() => {
        const heard = ((window as unknown as Listening).spoken = [] as number[]);
        const region = document.querySelector('[role="status"]') as Node;
        new MutationObserver(() => heard.push(performance.now())).observe(region, {
          childList: true,
          characterData: true,
          subtree: true,
        });
      });
      await workbench.focusEditor();
      const banner = preview.locator(".banner");
      for (let i = 0; i < 3; i++) {
        await page.keyboard.type("const = 3;");
        await banner.waitFor({ state: "visible" });
        if (i === 0) assert.deepEqual(await violations(preview), [], "while the design does not run");
        for (let k = 0; k < "const = 3;".length; k++) await page.keyboard.press("Backspace");
        await banner.waitFor({ state: "hidden" });
      }
      const spoken = await preview.evaluate(() => (window as unknown as Listening).spoken);
      assert.ok(spoken.length > 0, "it says what happens");
      const gaps = spoken.slice(1).map((time, i) => time - spoken[i]);
      assert.ok(
        gaps.every((gap) => gap > 1900),
        `it spoke after ${gaps.map(Math.round).join(", ")} ms`,
      );
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "accessibility-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
