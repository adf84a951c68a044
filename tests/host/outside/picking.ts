import assert from "node:assert/strict";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** From the picture to the code and back. */
export const picking: OutsideTest = {
  name: "a face says what made it, a click goes to its line, the cursor lights what a call made",
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
      const box = await picture.boundingBox();
      assert.ok(box);

      // The pointer goes over the picture until it meets faces whose call is known.
      const readout = preview.locator(".readout");
      const made: { x: number; y: number; text: string }[] = [];
      for (let row = 3; row <= 7; row++) {
        for (let column = 2; column <= 8; column++) {
          const [x, y] = [box.x + (box.width * column) / 10, box.y + (box.height * row) / 10];
          await page.mouse.move(x, y);
          await preview.evaluate(
            () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
          );
          if (!(await readout.isVisible())) continue;
          made.push({ x, y, text: (await readout.textContent()) ?? "" });
        }
      }
      const told = made.find(({ text }) => /made by mold\(…\), octagon-beaker\.mold\.ts:\d+/.test(text));
      assert.ok(
        told,
        `nothing made by mold( among ${[...new Set(made.map(({ text }) => text))].join(" | ")}`,
      );
      await page.mouse.move(told.x, told.y);
      await readout.waitFor();
      await page.screenshot({ path: join(results, "picking.png") });
      const line = /:(\d+)$/.exec(told.text)?.[1];
      await page.mouse.click(told.x, told.y);
      await page.locator(".editor-instance .monaco-editor.focused").first().waitFor();
      await page.locator(".statusbar-item", { hasText: `Ln ${line},` }).waitFor();

      // Back: the cursor in key( lights the keys.
      const dark = await workbench.settledPicture(picture);
      await page.keyboard.press("Control+f");
      await page.keyboard.type("key({");
      await page.keyboard.press("Enter");
      await page.keyboard.press("Escape");
      await workbench.waitForPicture(picture, ({ print }) => print !== dark.print);
      await workbench.settledPicture(picture);
      await page.screenshot({ path: join(results, "lit-keys.png") });
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "picking-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
