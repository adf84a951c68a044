import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** Export from the palette: two questions answered with Enter, and a toast that shows the folder. */
export const exporting: OutsideTest = {
  name: "export from the palette asks for folder and files, and offers the folder when it is done",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("octagon-beaker.mold.ts");
      await workbench.command("Slabwright: Export All Mold Parts…");
      const question = (text: RegExp) =>
        page.locator(".quick-input-title", { hasText: text }).first().waitFor();
      await question(/where to/);
      await page.keyboard.press("Enter");
      await question(/which files/);
      await page.keyboard.press("Enter");
      const toast = page.locator(".notification-toast", { hasText: /files written/ }).first();
      await toast.waitFor({ timeout: 120_000 });
      await page.screenshot({ path: join(results, "exported.png") });
      assert.ok(existsSync(join(workspace, "out", "octagon-beaker", "manifest.json")));
      await toast.getByText("Show in Folder").click();
      await page
        .locator(".explorer-folders-view .monaco-list-row", { hasText: "octagon-beaker" })
        .first()
        .waitFor();
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "exporting-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
