import assert from "node:assert/strict";
import { join } from "node:path";
import type { Page } from "playwright-core";
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
      // Cut from the other side little of the pot is seen.
      const good = ({ clay, plastic }: { clay: number; plastic: number }) => clay > 0.001 && plastic > 0.015;
      await workbench.waitForPicture(preview.locator(".picture"), good);
      await preview.locator("#apart").fill("0.7");
      await preview.locator('.drawers [aria-controls="drawer-shown"]').click();
      const tools = preview.getByRole("button", { name: "Tools" });
      await tools.click();
      await preview.locator('button[aria-pressed="false"]', { hasText: "Tools" }).waitFor();
      await preview.locator('input[name="sizes"][value="both"]').check();
      await preview.locator('.drawers [aria-controls="drawer-cut"]').click();
      await preview.locator('input[name="cut-way"][value="along"]').check();
      await preview.getByLabel("Other side").click();
      await preview.locator('.drawers [aria-controls="drawer-opening"]').click();
      await preview.locator("#opening-position").fill("1.5");
      await keptByEditor(page, ["tools", "0.7", "both", "axis", "1.5"]);

      await page.reload();
      const restored = await workbench.preview();
      await workbench.waitForPicture(restored.locator(".picture"), good, 60_000);
      assert.equal(await restored.locator("#apart").inputValue(), "0.7");
      assert.equal(
        // Its drawer is closed.
        await restored
          .getByRole("button", { name: "Tools", includeHidden: true })
          .getAttribute("aria-pressed"),
        "false",
      );
      assert.ok(await restored.locator('input[name="sizes"][value="both"]').isChecked());
      assert.ok(await restored.locator('input[name="cut-way"][value="along"]').isChecked());
      assert.equal(await restored.getByLabel("Other side").getAttribute("aria-pressed"), "true");
      assert.equal(Number(await restored.locator("#opening-position").inputValue()), 1.5);
      assert.match((await restored.locator("#opening-caption").textContent()) ?? "", /^2 of 4/);
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

/**
 * Waits until the editor has written a preview's view with all of these words in it to its own
 * store: only what is there survives a reload, and when it gets there is the editor's affair. It
 * writes in idle time, and Chromium sometimes gives a page none after input that a program made, until
 * the mouse moves: so the mouse moves.
 */
async function keptByEditor(page: Page, words: string[], limitMs = 180_000): Promise<void> {
  const end = Date.now() + limitMs;
  let round = 0;
  while (!(await page.evaluate(storeHolds, words))) {
    if (Date.now() > end) throw new Error(`the editor did not keep a view with ${words.join(", ")}`);
    await page.mouse.move(600, 600 + (round++ % 2));
    await page.waitForTimeout(250);
  }
}

/** Runs in the editor's page. */
async function storeHolds(words: string[]): Promise<boolean> {
  const asked = <T>(request: IDBRequest<T>) =>
    new Promise<T>((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error ?? new Error("the store did not answer"));
    });
  for (const { name } of await indexedDB.databases()) {
    if (!name?.startsWith("vscode-web-state-db-")) continue;
    const database = await asked(indexedDB.open(name));
    try {
      for (const store of database.objectStoreNames) {
        const values = await asked(database.transaction(store).objectStore(store).getAll());
        const views = values.filter(
          (value) => typeof value === "string" && value.includes("slabwright.preview"),
        );
        if (views.some((view: string) => words.every((word) => view.includes(word)))) return true;
      }
    } finally {
      database.close();
    }
  }
  return false;
}
