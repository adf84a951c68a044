import assert from "node:assert/strict";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** The graphics driver takes the picture away and gives it back. */
export const lostContext: OutsideTest = {
  name: "a lost WebGL context is said, and the picture comes back as it was",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("octagon-beaker.mold.ts");
      await workbench.command("Slabwright: Show Mold Preview");
      const preview = await workbench.preview();
      const picture = preview.locator(".picture");
      const there = ({ clay, plastic }: { clay: number; plastic: number }) => clay > 0.01 && plastic > 0.03;
      await workbench.waitForPicture(picture, there, 90_000);
      await preview.locator('.drawers [aria-controls="drawer-cut"]').click();
      await preview.locator('input[value="across"]').check();
      // Drawn once more when it has come to rest, so pictures are compared from there.
      const before = await workbench.settledPicture(picture);

      await preview.evaluate(() => {
        const context = document.querySelector("canvas")?.getContext("webgl2");
        const extension = context?.getExtension("WEBGL_lose_context");
        if (!extension) throw new Error("no way to lose the context");
        extension.loseContext();
        (window as unknown as { back: () => void }).back = () => extension.restoreContext();
      });
      const notice = preview.locator(".notice");
      await notice.getByText(/lost by the graphics driver/).waitFor();
      await page.screenshot({ path: join(results, "context-lost.png") });
      await preview.evaluate(() => (window as unknown as { back: () => void }).back());
      await notice.waitFor({ state: "hidden" });
      const after = await workbench.settledPicture(picture);
      await page.screenshot({ path: join(results, "context-restored.png") });
      assert.equal(after.print, before.print, "the same picture as before");
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "context-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};

/** A window without WebGL. */
export const noWebGl: OutsideTest = {
  name: "without WebGL there is a sentence, and findings and the summary are there all the same",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace), (page) =>
      page.addInitScript(() => {
        type Get = (this: HTMLCanvasElement, ...args: unknown[]) => unknown;
        const get = Reflect.get(HTMLCanvasElement.prototype, "getContext") as Get;
        HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, ...args: unknown[]) {
          return String(args[0]).startsWith("webgl") ? null : get.apply(this, args);
        } as typeof HTMLCanvasElement.prototype.getContext;
      }),
    );
    const { page } = workbench;
    try {
      await workbench.openFile("no-shrink.mold.ts");
      await workbench.command("Slabwright: Show Mold Preview");
      const preview = await workbench.preview();
      await preview
        .locator(".notice")
        .getByText(/no WebGL/)
        .waitFor();
      await preview.locator(".finding-list li").first().waitFor({ timeout: 90_000 });
      assert.match((await preview.locator("#summary").textContent()) ?? "", /4 wall parts/);
      assert.ok(
        await preview
          .locator(".notice")
          .getByText(/no WebGL/)
          .isVisible(),
        "the sentence stays",
      );
      await page.screenshot({ path: join(results, "no-webgl.png") });
    } catch (error) {
      await page.screenshot({ path: join(results, "no-webgl-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
