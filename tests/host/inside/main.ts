import { closeAll, restoreFiles } from "./design.ts";
import { afterEach, runTests } from "./runner.ts";
import "./looking.ts";
import "./fixing.ts";
import "./exporting.ts";
import "./changing.ts";
import "./moving.ts";
import "./commands.ts";
import "./typing.ts";

afterEach(async () => {
  await closeAll();
  await restoreFiles();
});

/** What the extension host calls. */
export async function run(): Promise<void> {
  await restoreFiles();
  await runTests();
}
