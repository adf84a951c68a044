import assert from "node:assert/strict";
import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { layoutFaults } from "./layout.ts";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

const themes = [
  { name: "light", theme: "Default Light Modern", kind: "vscode-light" },
  { name: "dark", theme: "Default Dark Modern", kind: "vscode-dark" },
  { name: "hc-black", theme: "Default High Contrast", kind: "vscode-high-contrast" },
  { name: "hc-light", theme: "Default High Contrast Light", kind: "vscode-high-contrast-light" },
];
const windows = [
  { width: 800, height: 600 },
  { width: 1600, height: 1000 },
];
const drawers = ["findings", "numbers", "opening", "cut", "shown"];

/** The preview in every kind of theme, in a small and in a large window, with every drawer open. */
export const themesAndSizes: OutsideTest = {
  name: "light, dark and both high-contrast themes, in a small and in a large window",
  run: async ({ browser, server, workspace, results }) => {
    const settings = join(workspace, ".vscode", "settings.json");
    await mkdir(join(workspace, ".vscode"), { recursive: true });
    const use = (theme: string) => writeFile(settings, JSON.stringify({ "workbench.colorTheme": theme }));
    await use(themes[0].theme);
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    try {
      await workbench.openFile("numbers.mold.ts");
      await workbench.command("Slabwright: Show Mold Preview");
      const preview = await workbench.preview();
      await preview.locator(".finding-list li").first().waitFor({ timeout: 90_000 });
      await workbench.command("View: Toggle Primary Side Bar Visibility");
      await preview.locator("body").evaluate(() => {
        for (const input of document.querySelectorAll<HTMLInputElement>(
          "input[type=radio][value=across], input[type=radio][value=both]",
        ))
          input.click();
      });
      for (const { name, theme, kind } of themes) {
        await use(theme);
        await preview.locator(`body[data-vscode-theme-kind="${kind}"]`).waitFor();
        for (const { width, height } of windows) {
          await page.setViewportSize({ width, height });
          await workbench.waitForPicture(
            preview.locator(".picture"),
            ({ clay, plastic }) => clay > 0.01 && plastic > 0.02,
          );
          for (const drawer of drawers) {
            const button = preview.locator(`.drawers [aria-controls="drawer-${drawer}"]`);
            if (await button.isVisible()) await button.click();
            else if (drawer !== "findings") continue;
            const faults = await layoutFaults(preview);
            await page.screenshot({ path: join(results, `theme-${name}-${width}-${drawer}.png`) });
            assert.deepEqual(faults, [], `${name}, ${width} × ${height}, ${drawer}`);
          }
        }
      }
      // The system's own colours.
      await page.emulateMedia({ forcedColors: "active" });
      await page.screenshot({ path: join(results, "theme-forced.png") });
      assert.deepEqual(await layoutFaults(preview), []);
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "themes-failed.png") });
      throw error;
    } finally {
      await workbench.close();
    }
  },
};
