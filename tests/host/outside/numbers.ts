import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** ms. */
const LONGER_THAN_KEYS_REST = 800;

/** Sliders of a design: tried while they move, written when they are let go, one undo. */
export const numbers: OutsideTest = {
  name: "a slider shows the picture while it moves and writes its number once; Escape and undo go back",
  run: async ({ browser, server, workspace, results }) => {
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("numbers.mold.ts");
      await workbench.command("Slabwright: Show Mold Preview");
      const preview = await workbench.preview();
      await preview.locator('.drawers [aria-controls="drawer-numbers"]').click({ timeout: 90_000 });
      const row = preview.locator(".param", { hasText: "height" });
      const slider = row.locator("input[type=range]");
      const number = row.locator("input[type=number]");
      const sizes = preview.locator(".sizes");
      const code = page.locator(".editor-instance .view-lines").first();
      const saved = await readFile(join(workspace, "numbers.mold.ts"), "utf8");
      await sizes.getByText(/× 104 mm/).waitFor();
      assert.equal(await slider.inputValue(), "104");

      // Dragged: the picture follows, the code does not yet.
      const track = await slider.boundingBox();
      assert.ok(track);
      const y = track.y + track.height / 2;
      await page.mouse.move(track.x + track.width * 0.55, y);
      await page.mouse.down();
      await page.mouse.move(track.x + track.width * 0.9, y, { steps: 5 });
      const tried = await slider.inputValue();
      assert.ok(Number(tried) > 120, `the slider stands at ${tried}`);
      assert.equal(await number.inputValue(), tried);
      await sizes.getByText(new RegExp(`× ${tried} mm`)).waitFor();
      assert.equal(await slider.inputValue(), tried, "the picture's answer moved the slider");
      await code.getByText('param("height", 104').waitFor();
      await page.screenshot({ path: join(results, "slider-dragged.png") });
      // Escape: back to where it was, though the button is still down.
      await page.keyboard.press("Escape");
      assert.equal(await slider.inputValue(), "104");
      await page.mouse.move(track.x + track.width * 0.85, y);
      assert.equal(await slider.inputValue(), "104");
      await page.mouse.up();
      await sizes.getByText(/× 104 mm/).waitFor();

      // Dragged and let go: the number stands in the code, unsaved, and one undo takes it back.
      await page.mouse.move(track.x + track.width * 0.55, y);
      await page.mouse.down();
      await page.mouse.move(track.x + track.width * 0.2, y, { steps: 4 });
      const written = await slider.inputValue();
      await page.mouse.up();
      await code.getByText(`param("height", ${written},`).waitFor();
      await sizes.getByText(new RegExp(`× ${written} mm`)).waitFor();
      assert.equal(await slider.inputValue(), written);
      assert.equal(await readFile(join(workspace, "numbers.mold.ts"), "utf8"), saved, "it was saved");
      assert.ok(await preview.evaluate(() => document.hasFocus()), "the focus stays in the preview");
      await page.keyboard.press("Control+z");
      await code.getByText('param("height", 104').waitFor();
      await preview.waitForFunction(
        () => document.querySelector<HTMLInputElement>(".param input")?.value === "104",
      );

      // Let go and taken again before the page comes to it: nothing is written while it is held.
      const press = (...types: string[]) =>
        preview.evaluate((all) => {
          const input = document.querySelector<HTMLInputElement>(".param input[type=range]")!;
          for (const type of all) {
            if (type === "input") input.value = "90";
            input.dispatchEvent(new PointerEvent(type, { bubbles: true }));
          }
        }, types);
      await press("pointerdown", "pointerup", "pointerdown", "input");
      await sizes.getByText(/× 90 mm/).waitFor();
      await page.waitForTimeout(LONGER_THAN_KEYS_REST);
      assert.match(
        (await code.innerText()).replaceAll("\u00a0", " "),
        /param\("height", 104/,
        "it was written while held",
      );
      await press("pointerup");
      await code.getByText('param("height", 90').waitFor();
      await page.keyboard.press("Control+z");
      await code.getByText('param("height", 104').waitFor();

      // Arrow keys: written when they rest. A typed number: with Enter.
      await slider.focus();
      await page.keyboard.press("ArrowRight");
      await page.keyboard.press("ArrowRight");
      await code.getByText('param("height", 106').waitFor();
      await number.fill("98");
      await number.press("Enter");
      await code.getByText('param("height", 98').waitFor();
      await sizes.getByText(/× 98 mm/).waitFor();

      // While the text does not parse the sliders wait, and say so.
      await workbench.focusEditor();
      await page.keyboard.type("const = 3;");
      await preview.locator(".held").waitFor();
      assert.ok(await slider.isDisabled());
      await page.screenshot({ path: join(results, "slider-held.png") });
      for (let i = 0; i < "const = 3;".length; i++) await page.keyboard.press("Backspace");
      await preview.locator(".held").waitFor({ state: "hidden" });
      assert.ok(await slider.isEnabled());
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "numbers-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
