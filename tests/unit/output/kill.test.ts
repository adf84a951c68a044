import { fork } from "node:child_process";
import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { manifestSchema } from "../../../shared/manifest.ts";
import { filesIn, occupantOf } from "../../../src/dsl/output/folder.ts";
import { cleanUp } from "../../../src/dsl/output/swap.ts";

const KILLS = 20;

/** Starts exporting over and over, two versions of a design in turn, and kills it `after` ms past the first whole export. */
async function exportAndKill(out: string, after: number): Promise<void> {
  const child = fork(join(import.meta.dirname, "export-loop.ts"), [out], { execArgv: [] });
  await new Promise<void>((resolve, reject) => {
    child.once("message", () => setTimeout(() => child.kill("SIGKILL"), after));
    child.once("exit", (code, signal) => {
      if (signal === "SIGKILL") resolve();
      else reject(new Error(`the exports ended by themselves with ${code}`));
    });
  });
}

test(`an export that is killed leaves a whole one, ${KILLS} times`, { timeout: 120_000 }, async () => {
  const out = await mkdtemp(join(tmpdir(), "slabwright-kill-"));
  const target = join(out, "tube");
  let inTheMiddle = 0;
  try {
    for (let kill = 0; kill < KILLS; kill++) {
      await exportAndKill(out, (kill * 7) % 60);
      const left = await readdir(out);
      if (left.some((name) => name !== "tube")) inTheMiddle++;
      // Dead between the two moves: the next run begins by putting it back.
      if (!left.includes("tube")) await cleanUp(target);
      expect((await occupantOf(target)).kind).toBe("export");
      const manifest = manifestSchema.parse(
        JSON.parse(await readFile(join(target, "manifest.json"), "utf8")),
      );
      expect(await filesIn(target)).toEqual(
        ["manifest.json", ...manifest.files.map(({ path }) => path)].sort(),
      );
    }
    // Otherwise the kills all fell between exports and showed nothing.
    expect(inTheMiddle).toBeGreaterThan(KILLS / 3);
    await cleanUp(target);
    expect(await readdir(out)).toEqual(["tube"]);
  } finally {
    await rm(out, { recursive: true, force: true });
  }
});
