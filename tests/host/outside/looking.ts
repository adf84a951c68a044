import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** The beaker is clay in front of plastic: both must be there in plenty. */
const beakerIsThere = ({ clay, plastic }: { clay: number; plastic: number }) => clay > 0.01 && plastic > 0.03;

/** A design opened, looked at, broken and mended as by somebody at the keyboard. */
export const looking: OutsideTest = {
  name: "the preview shows the beaker, follows the hand, and dims while the design does not run",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("octagon-beaker.mold.ts");
      await workbench.focusEditor();
      await page.keyboard.press("Control+k");
      await page.keyboard.press("v");
      const preview = await workbench.preview();
      const picture = preview.locator(".picture");
      const first = await workbench.waitForPicture(picture, beakerIsThere);
      await page.screenshot({ path: join(results, "beaker.png") });

      const canvas = preview.locator("canvas[role='img']");
      assert.match(
        (await preview.locator("#summary").textContent()) ?? "",
        /\w+ .*\w+/,
        "a summary in words",
      );
      assert.equal(await canvas.getAttribute("role"), "img");
      assert.equal(await preview.locator(".findings li").count(), 0, "the beaker has no finding");

      await canvas.focus();
      for (let i = 0; i < 4; i++) await page.keyboard.press("ArrowLeft");
      await workbench.waitForPicture(
        picture,
        (shares) => shares.print !== first.print && beakerIsThere(shares),
      );
      await page.keyboard.press("Home");
      await preview.locator("#apart").fill("0");
      // The closed mold hides the side of the pot.
      const share = ({ clay, plastic }: { clay: number; plastic: number }) => clay / plastic;
      await workbench.waitForPicture(picture, (shares) => share(shares) < share(first) / 2);
      await preview.locator("#apart").fill("0.35");

      const box = await canvas.boundingBox();
      assert.ok(box);
      const still = await workbench.waitForPicture(picture, beakerIsThere);
      await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
      await page.mouse.down();
      await page.mouse.move(box.x + box.width / 2 + 120, box.y + box.height / 2 + 30, { steps: 6 });
      await page.mouse.up();
      await workbench.waitForPicture(
        picture,
        (shares) => shares.print !== still.print && beakerIsThere(shares),
      );

      // Text that does not run: the picture stays, dimmed, with the message; nothing was saved.
      const file = join(workspace, "octagon-beaker.mold.ts");
      const saved = await readFile(file, "utf8");
      await workbench.focusEditor();
      await page.keyboard.type("const = 3;");
      const banner = preview.locator(".banner");
      await banner.waitFor({ state: "visible" });
      assert.notEqual((await banner.locator("p").first().textContent())?.trim(), "");
      const dimmed = await workbench.shares(picture);
      assert.ok(dimmed.clay + dimmed.plastic > 0.003, "the last good picture is still there");
      await page.screenshot({ path: join(results, "broken.png") });
      assert.equal(await readFile(file, "utf8"), saved, "typing saved the file");

      await banner.locator("button").click();
      await page
        .locator(".editor-instance.focused, .editor-instance .monaco-editor.focused")
        .first()
        .waitFor();
      for (let i = 0; i < "const = 3;".length + 4; i++) await page.keyboard.press("Control+z");
      await banner.waitFor({ state: "hidden" });
      await workbench.waitForPicture(picture, beakerIsThere);
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "looking-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
