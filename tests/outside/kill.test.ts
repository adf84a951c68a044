import { spawn } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, realpathSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { expect, test } from "vitest";
import { manifestSchema } from "../../shared/manifest.ts";
import { filesIn, occupantOf } from "../../src/dsl/output/folder.ts";
import { cleanUp } from "../../src/dsl/output/swap.ts";
import { CLI, root, slabwright } from "./exports.ts";

/** One mold, and two molds, each with another height to export in turn: a folder of both would show. */
const DESIGNS = [
  { name: "octagon-beaker", from: "lip.at(104)", to: "lip.at(103)" },
  { name: "sugar-jar", from: `param("height", 96`, to: `param("height", 95` },
];
/** Kills spread over the whole run, and kills spread over the time in which files are written. */
const SPREAD = 4;
const WHILE_WRITING = 8;

test.each(DESIGNS)(
  "kill -9 at any point of exporting $name leaves a whole export",
  async ({ name, from, to }) => {
    const cwd = realpathSync(mkdtempSync(join(tmpdir(), "slabwright-kill-")));
    const design = `${name}.mold.ts`;
    const text = readFileSync(join(root, "examples", design), "utf8");
    const versions = [text, text.replace(from, to)];
    expect(versions[1]).not.toBe(text);
    const out = join(cwd, "out");
    const target = join(out, name);
    const words = ["export", design, "--formats", "stl,3mf"];
    try {
      writeFileSync(join(cwd, design), versions[0]);
      const started = performance.now();
      expect(slabwright(words, cwd).status).toBe(0);
      const whole = performance.now() - started;
      let inTheMiddle = 0;
      for (let kill = 0; kill < SPREAD + WHILE_WRITING; kill++) {
        writeFileSync(join(cwd, design), versions[(kill + 1) % 2]);
        // A group of its own: what the command has started dies with it.
        const child = spawn(process.execPath, [CLI, ...words], { cwd, detached: true, stdio: "ignore" });
        const ended = new Promise<void>((resolve) => child.once("exit", () => resolve()));
        let writing = false;
        const begins = async () => {
          while (child.exitCode === null && readdirSync(out).length === 1) await sleep(2);
          writing = true;
        };
        if (kill < SPREAD) await Promise.race([sleep((whole * (kill + 1)) / (SPREAD + 1)), ended]);
        else {
          await begins();
          await Promise.race([sleep((kill - SPREAD) * 25), ended]);
        }
        if (child.exitCode === null && child.pid !== undefined) process.kill(-child.pid, "SIGKILL");
        await ended;

        const left = readdirSync(out);
        if (writing && child.signalCode === "SIGKILL" && left.length > 1) inTheMiddle++;
        // Dead between the two moves: the next run begins by putting it back.
        if (!left.includes(name)) await cleanUp(target);
        expect((await occupantOf(target)).kind).toBe("export");
        const manifest = manifestSchema.parse(
          JSON.parse(readFileSync(join(target, "manifest.json"), "utf8")),
        );
        expect(await filesIn(target)).toEqual(
          ["manifest.json", ...manifest.files.map(({ path }) => path)].sort(),
        );
      }
      // Otherwise the kills all fell outside of the writing and showed nothing.
      expect(inTheMiddle).toBeGreaterThanOrEqual(2);
      expect(slabwright(words, cwd).status).toBe(0);
      expect(readdirSync(out)).toEqual([name]);
    } finally {
      rmSync(cwd, { recursive: true, force: true });
    }
  },
  600_000,
);
