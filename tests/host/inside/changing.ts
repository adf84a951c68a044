import * as vscode from "vscode";
import assert from "node:assert/strict";
import { copyFile, rename, rm, writeFile } from "node:fs/promises";
import { badEdit, goodEdit, randomNumbers } from "./edits.ts";
import { inWorkspace, openDesign, replaceAll, settledPicture, showPreview } from "./design.ts";
import { digestsOf, engineMemory, freshBuild, installed } from "./engine.ts";
import { test } from "./runner.ts";

const median = (list: number[]) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];
const pause = (milliseconds: number) => new Promise((resolve) => setTimeout(resolve, milliseconds));

/** The last text is the last picture: what is painted is what an engine makes of it that knows nothing else. */
async function assertPainted(uri: vscode.Uri, text: string, enginePath?: string): Promise<void> {
  const painted = await settledPicture(uri);
  const fresh = await freshBuild(uri, text, enginePath);
  assert.equal(fresh.problem, undefined);
  assert.equal(painted.quality, "idle");
  assert.deepEqual(painted.digests, digestsOf(fresh));
}

/** Fine pictures of as many pots are more than the engine keeps. */
const WARM = 8;

const seed = Number(process.env.SLABWRIGHT_TEST_SEED ?? 3);

test(`100 random edits, seed ${seed}: the picture is that of the last text, and the engine does not grow`, async () => {
  const random = randomNumbers(seed);
  const editor = await openDesign("octagon-beaker.mold.ts");
  const { uri } = editor.document;
  let good = editor.document.getText();
  const first = await showPreview(uri);
  // What the engine keeps of molds is full before it is measured, however slow the machine.
  for (let i = 0; i < WARM; i++) {
    good = goodEdit(random, good).text;
    await replaceAll(editor, good);
    await settledPicture(uri);
  }
  const memory: number[] = [];
  for (let i = 0; i < 100; i++) {
    const bad = random() < 0.4;
    const { text } = bad ? badEdit(random, good) : goodEdit(random, good);
    if (!bad) good = text;
    await replaceAll(editor, text);
    // A typing hand: now and then it rests long enough for the fine picture.
    await pause(random() < 0.15 ? 700 : 30 + 170 * random());
    memory.push(Math.max(...(await engineMemory()).values()));
    if (i % 20 === 19) {
      await replaceAll(editor, good);
      await assertPainted(uri, good);
    }
  }
  const last = await showPreview(uri);
  assert.ok(last.build > first.build);
  const [before, after] = [median(memory.slice(20, 60)), median(memory.slice(60))];
  assert.ok(after < 1.2 * before, `engine: ${before.toFixed(0)} MB, then ${after.toFixed(0)} MB`);
}, 300_000);

test("with an engine that answers late at random the last text is the last picture", async () => {
  const engine = installed("dist", "engine.mjs");
  const real = installed("dist", "engine.prompt.mjs");
  await copyFile(engine, real);
  await writeFile(`${engine}.late`, lateEngine(seed));
  await rename(`${engine}.late`, engine);
  try {
    await vscode.commands.executeCommand("slabwright.restartEngine");
    const random = randomNumbers(seed + 1);
    const editor = await openDesign("octagon-beaker.mold.ts");
    const { uri } = editor.document;
    let text = editor.document.getText();
    await showPreview(uri);
    for (let i = 0; i < 30; i++) {
      ({ text } = goodEdit(random, text));
      await replaceAll(editor, text);
      await pause(400 * random());
    }
    await assertPainted(uri, text, real);
  } finally {
    await rename(real, engine);
    await vscode.commands.executeCommand("slabwright.restartEngine");
    await rm(real, { force: true });
  }
}, 180_000);

/** A program that passes every word to and from the engine on, in order, up to 0.4 s late. */
function lateEngine(start: number): string {
  return `const random = (${randomNumbers.toString()})(${start});
const late = (pass) => {
  let before = Promise.resolve();
  return (...words) => {
    const until = performance.now() + 400 * random();
    before = before.then(async () => {
      await new Promise((done) => setTimeout(done, Math.max(0, until - performance.now())));
      pass(...words);
    });
    return true;
  };
};
process.send = late(process.send.bind(process));
const on = process.on.bind(process);
process.on = (name, hear) => on(name, name === "message" ? late(hear) : hear);
await import("./engine.prompt.mjs");
`;
}

test("a text that loops without end makes way for the next one long before its limit", async () => {
  const settings = vscode.workspace.getConfiguration("slabwright");
  await settings.update("timeLimit", 120, vscode.ConfigurationTarget.Global);
  try {
    const editor = await openDesign("octagon-beaker.mold.ts");
    const { uri } = editor.document;
    const good = editor.document.getText();
    const first = await showPreview(uri);
    await replaceAll(editor, `while (true) {}\n${good}`);
    // Long enough for the loop to be entered, coarse or fine.
    await pause(600);
    const text = good.replace(/lip\.at\(\d+\)/, "lip.at(91)");
    await replaceAll(editor, text);
    const painted = await settledPicture(uri);
    assert.ok(painted.build > first.build);
    await assertPainted(uri, text);
  } finally {
    await settings.update("timeLimit", undefined, vscode.ConfigurationTarget.Global);
  }
}, 90_000);

test("text in a file that is not a design concerns nobody", async () => {
  const editor = await openDesign("octagon-beaker.mold.ts");
  const { uri } = editor.document;
  const before = await settledPicture(uri);
  const other = inWorkspace("notes.ts");
  await writeFile(other.fsPath, "export const note = 1;\n");
  const notes = await vscode.window.showTextDocument(other, { viewColumn: vscode.ViewColumn.One });
  await notes.edit((edit) => edit.insert(new vscode.Position(0, 0), "// a note\n"));
  assert.equal((await showPreview(uri)).build, before.build);
});
