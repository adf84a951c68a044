import assert from "node:assert/strict";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** A finding read in the preview, gone to by a click, and cured by its quick fix. */
export const findings: OutsideTest = {
  name: "a finding in the list leads to its line, and its quick fix makes it go",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("no-shrink.mold.ts");
      await workbench.command("Slabwright: Show Mold Preview");
      const preview = await workbench.preview();
      const row = preview.locator(".findings li button.error").first();
      await row.waitFor({ timeout: 60_000 });
      await page.locator(".editor-instance .squiggly-error").first().waitFor();
      await page.screenshot({ path: join(results, "finding.png") });

      // From the picture, without a mouse: the finding's row stands out, and Enter goes to its line.
      await preview.locator("canvas[role='img']").focus();
      await page.keyboard.press("f");
      await preview.locator(".finding-list li.active").waitFor();
      await page.keyboard.press("Enter");
      await page.locator(".monaco-editor.focused").first().waitFor();
      await preview.locator("canvas[role='img']").focus();
      // Else what is typed next may still go to the picture.
      await page.locator(".monaco-editor.focused").first().waitFor({ state: "detached" });

      await row.click();
      await page.locator(".monaco-editor.focused").first().waitFor();
      await page.keyboard.press("Control+.");
      const menu = page.locator(".action-widget");
      const fix = menu.locator(".monaco-list-row.action", { hasText: /shrink/i }).first();
      await fix.waitFor();
      await fix.click();
      await preview
        .locator(".findings li button.error")
        .first()
        .waitFor({ state: "detached", timeout: 30_000 });
      await page.locator(".editor-instance .view-lines", { hasText: "shrink(beaker" }).first().waitFor();
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "findings-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
