import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { readdir, readFile } from "node:fs/promises";
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
      await startExport(workbench);
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

/** The progress toast has a button to call it off; then nothing is there that was not there before. */
export const exportCancelled: OutsideTest = {
  name: "an export that is cancelled half-way leaves nothing, and the next one is whole",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("fluted-carafe.mold.ts");
      const before = await readdir(workspace);
      await startExport(workbench);
      const toast = page.locator(".notification-toast", { hasText: /Exporting fluted-carafe/ }).first();
      await toast.waitFor({ timeout: 60_000 });
      await page.screenshot({ path: join(results, "exporting.png") });
      await toast.getByText("Cancel", { exact: true }).click();
      await page
        .locator(".notification-toast", { hasText: /cancelled; nothing was written/ })
        .first()
        .waitFor({ timeout: 60_000 });
      assert.deepEqual(await readdir(workspace), before);

      await startExport(workbench);
      await page
        .locator(".notification-toast", { hasText: /files written/ })
        .first()
        .waitFor({ timeout: 180_000 });
      const manifest = join(workspace, "out", "fluted-carafe", "manifest.json");
      const { files } = JSON.parse(await readFile(manifest, "utf8")) as { files: { path: string }[] };
      for (const { path } of files)
        assert.ok(existsSync(join(workspace, "out", "fluted-carafe", path)), path);
      assert.deepEqual(await readdir(join(workspace, "out")), ["fluted-carafe"]);
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "export-cancelled-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};

/** From the palette, with what the settings propose. */
async function startExport(workbench: Workbench): Promise<void> {
  const { page } = workbench;
  await workbench.command("Slabwright: Export All Mold Parts…");
  for (const title of [/where to/, /which files/]) {
    await page.locator(".quick-input-title", { hasText: title }).first().waitFor({ timeout: 60_000 });
    await page.keyboard.press("Enter");
  }
}
