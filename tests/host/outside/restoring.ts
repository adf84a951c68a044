import assert from "node:assert/strict";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** A window loaded anew: the preview is there again, with its picture and as it was looked at. */
export const restoring: OutsideTest = {
  name: "after a reload the preview comes back with its view",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("octagon-beaker.mold.ts");
      await workbench.command("Slabwright: Show Mold Preview");
      const preview = await workbench.preview();
      const good = ({ clay, plastic }: { clay: number; plastic: number }) => clay > 0.01 && plastic > 0.03;
      await workbench.waitForPicture(preview.locator(".picture"), good);
      await preview.locator("#apart").fill("0.7");
      await preview.getByRole("button", { name: "Tools" }).click();
      // The page keeps its view, and the editor the page's state, a moment after the last change.
      await page.waitForTimeout(3000);

      await page.reload();
      const restored = await workbench.preview();
      await workbench.waitForPicture(restored.locator(".picture"), good, 60_000);
      assert.equal(await restored.locator("#apart").inputValue(), "0.7");
      assert.equal(
        await restored.getByRole("button", { name: "Tools" }).getAttribute("aria-pressed"),
        "false",
      );
      await page.screenshot({ path: join(results, "restored.png") });
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "restoring-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
