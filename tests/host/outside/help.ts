import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** The status item, the page behind a code, and test bars that end up in the design. */
export const help: OutsideTest = {
  name: "the status bar tells of the error, its code opens the page, and test bars go into the design",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("no-shrink.mold.ts");
      const status = page.locator(".statusbar-item", { hasText: "no-shrink: 1 error" });
      await status.waitFor({ timeout: 90_000 });
      await page.locator(".editor-instance .squiggly-error").first().waitFor({ timeout: 60_000 });

      await workbench.focusEditor();
      await page.keyboard.press("F8");
      const link = page.locator("a.code-link", { hasText: "shrink-missing" }).first();
      await link.waitFor({ timeout: 30_000 });
      await link.click();
      await page.locator(".tab", { hasText: "shrink-missing.md" }).first().waitFor({ timeout: 60_000 });
      await page.screenshot({ path: join(results, "help-page.png") });

      await workbench.openFile("octagon-beaker.mold.ts");
      await page.locator(".statusbar-item", { hasText: /octagon-beaker: fired .* → wet/ }).waitFor({
        timeout: 90_000,
      });
      await workbench.command("Slabwright: Record Test Bars");
      const input = page.locator(".quick-input-widget input").first();
      const answer = async (title: string, text: string) => {
        await page.locator(".quick-input-widget", { hasText: title }).waitFor();
        await input.fill(text);
        await page.keyboard.press("Enter");
      };
      await answer("Test bars (1 of 3)", "white stoneware");
      await answer("Test bars (2 of 3)", "100");
      await answer("Test bars (3 of 3)", "88.1 87.8 88.3 87.9 88.2");
      const toast = page.locator(".notification-toast", { hasText: "shrinks 11.94 ± 0.26 %" });
      await toast.waitFor({ timeout: 60_000 });
      await page.screenshot({ path: join(results, "test-bars.png") });
      await toast.getByRole("button", { name: "Write into the Design" }).click();
      await page
        .locator(".editor-instance .view-lines", { hasText: "shrink(beaker, whiteStoneware)" })
        .first()
        .waitFor({ timeout: 60_000 });
      const saved = await readFile(join(workspace, "octagon-beaker.mold.ts"), "utf8");
      assert.doesNotMatch(saved, /whiteStoneware/, "nothing is saved by itself");
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "help-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
