import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { OutsideTest } from "./suite.ts";
import { Workbench } from "./workbench.ts";

/** In a window that is not trusted nothing of a design runs; trusting the folder starts it. */
export const trust: OutsideTest = {
  name: "Restricted Mode: the preview says why there is no picture, and trusting the folder brings it",
  run: async ({ browser, askingServer, workspace, results }) => {
    const server = await askingServer();
    const workbench = await Workbench.open(browser, server.address(workspace));
    const { page } = workbench;
    const trace = join(workspace, "trace.txt");
    try {
      // A program, and not a kind one: it writes a file when it is run.
      const beaker = await readFile(join(workspace, "octagon-beaker.mold.ts"), "utf8");
      const writes = [
        'const process = console.log.constructor("return process")();',
        `process.getBuiltinModule("fs").writeFileSync(${JSON.stringify(trace)}, "run");`,
      ];
      await writeFile(join(workspace, "leaves-trace.mold.ts"), `${beaker}\n${writes.join("\n")}\n`);
      await workbench.openFile("leaves-trace.mold.ts");
      await workbench.command("Slabwright: Show Mold Preview");
      const preview = await workbench.preview();
      const notice = preview.locator(".notice");
      await notice.getByText(/Restricted Mode/).waitFor({ timeout: 60_000 });
      await page.screenshot({ path: join(results, "restricted.png") });
      assert.equal((await workbench.shares(preview.locator(".picture"))).plastic < 0.01, true);

      assert.equal(existsSync(trace), false, "the design has run in Restricted Mode");

      await notice.getByRole("button").click();
      await page
        .locator(".workspace-trust-editor")
        .getByRole("button", { name: /^Trust$/ })
        .click();
      await page.getByText("You trust this folder").waitFor();
      await page.locator(".monaco-modal-editor-block .codicon-close").last().click();
      await workbench.waitForPicture(
        preview.locator(".picture"),
        ({ plastic, clay }) => plastic > 0.04 && clay > 0.02,
      );
      assert.equal(await readFile(trace, "utf8"), "run", "the trusted design has run");
      assert.deepEqual(workbench.ours, [], "errors on the console");
    } catch (error) {
      await page.screenshot({ path: join(results, "trust-failed.png") });
      throw error;
    } finally {
      await workbench.close();
      await server.stop();
    }
  },
};
