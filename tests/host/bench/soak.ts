/** The working side of `npm run bench:soak`, in the extension host: random edits, and the engine's memory. */
import assert from "node:assert/strict";
import { badEdit, goodEdit, randomNumbers } from "../inside/edits.ts";
import { openDesign, replaceAll, settledPicture, showPreview } from "../inside/design.ts";
import { digestsOf, engineMemory, freshBuild } from "../inside/engine.ts";
import { report } from "../inside/report.ts";

/** After so many edits, MB: of the larger engine process, and of the extension host. */
export interface SoakLine {
  edits: number;
  engineMB: number;
  hostMB: number;
}

const edits = Number(process.env.SLABWRIGHT_SOAK_EDITS ?? 500);
const seed = Number(process.env.SLABWRIGHT_TEST_SEED ?? 5);

export async function run(): Promise<void> {
  const random = randomNumbers(seed);
  const editor = await openDesign("octagon-beaker.mold.ts");
  const { uri } = editor.document;
  let good = editor.document.getText();
  await showPreview(uri);
  for (let i = 1; i <= edits; i++) {
    const bad = random() < 0.4;
    const { text } = bad ? badEdit(random, good) : goodEdit(random, good);
    if (!bad) good = text;
    await replaceAll(editor, text);
    await new Promise((resolve) => setTimeout(resolve, random() < 0.15 ? 700 : 30 + 170 * random()));
    if (i % 10 === 0) {
      const engineMB = Math.max(...(await engineMemory()).values());
      report({ edits: i, engineMB, hostMB: process.memoryUsage.rss() / 2 ** 20 } satisfies SoakLine);
    }
    if (i % 100 !== 0) continue;
    await replaceAll(editor, good);
    const painted = await settledPicture(uri);
    assert.deepEqual(
      painted.digests,
      digestsOf(await freshBuild(uri, good)),
      `a stale picture after ${i} edits`,
    );
  }
}
