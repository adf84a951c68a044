import { build as bundle } from "esbuild";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, describe, expect, test } from "vitest";
import type { BuildResult } from "../../../shared/engine.ts";
import {
  EngineFault,
  EngineHost,
  EngineStopped,
  Superseded,
  type BuildAsk,
  type EngineHostOptions,
} from "../../../src/dsl/engine/host.ts";

const fixtures = join(import.meta.dirname, "fixtures");
const folder = mkdtempSync(join(tmpdir(), "engine-"));
const ENTRY = join(folder, "pot.mold.ts");
/** Looked for beside every design, there or not. */
const SETTINGS = join(folder, "slabwright.json");
const HEAD = `import { mold, param, profile, shrink } from "slabwright";\n`;
const SOUND = `${HEAD}export default mold(shrink(1, 0.125), { wall: 3 });\n`;

/** The engine as it ships: in one bundle, with the watch beside it. */
async function bundleEngine(): Promise<string> {
  const root = join(import.meta.dirname, "../../..");
  const entries = { engine: join(fixtures, "child.ts"), watch: join(root, "src/dsl/engine/watch.ts") };
  await bundle({
    entryPoints: entries,
    outdir: folder,
    outExtension: { ".js": ".mjs" },
    bundle: true,
    minify: true,
    keepNames: true,
    platform: "node",
    format: "esm",
    target: "node20",
    mainFields: ["module", "main"],
    banner: {
      js: 'import { createRequire } from "node:module"; const require = createRequire(import.meta.url);',
    },
  });
  return join(folder, "engine.mjs");
}

let bundled: string;
beforeAll(async () => {
  writeFileSync(ENTRY, SOUND);
  bundled = await bundleEngine();
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true }));

const hosts: EngineHost[] = [];
afterEach(() => {
  for (const host of hosts.splice(0)) host.dispose();
});

function start(options: Partial<EngineHostOptions> = {}) {
  const lines: string[] = [];
  const faults: EngineFault[] = [];
  const host = new EngineHost({
    enginePath: bundled,
    onLog: (more) => lines.push(...more),
    onFault: (fault) => faults.push(fault),
    ...options,
  });
  hosts.push(host);
  return { host, lines, faults };
}

const ask = (text: string, more: Partial<BuildAsk> = {}): BuildAsk => ({
  entry: ENTRY,
  root: folder,
  overlays: { [ENTRY]: text },
  overrides: {},
  quality: "typing",
  have: [],
  fixes: false,
  ...more,
});

const isAlive = (pid: number | undefined) => {
  try {
    return pid !== undefined && process.kill(pid, 0);
  } catch {
    return false;
  }
};
const until = async (true_: () => boolean, what: string) => {
  for (let i = 0; !true_(); i++) {
    if (i > 1500) throw new Error(`waited in vain: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
};

describe("a build", () => {
  test("gives findings at their places, params, files", async () => {
    const { host, lines } = start();
    const text = `${HEAD}console.log("hello");\nconst wall = param("wall", 1, { min: 0, max: 9 });\nexport default mold(2, { wall });\n`;
    const result = await host.build(ask(text));
    expect(result).toMatchObject({
      design: "pot",
      files: [ENTRY, SETTINGS],
      params: [{ name: "wall", value: 1, writable: true, place: { line: 3, column: 28 } }],
      findings: [
        { code: "wall-thin", message: "wall-thin 1", place: { file: ENTRY, line: 4, column: 26 }, fixes: [] },
        { code: "shrink-missing", place: { file: ENTRY, line: 4, column: 21, endColumn: 22 } },
      ],
    });
    expect(result.problem).toBeUndefined();
    expect(lines).toEqual(["hello"]);
  });

  test("overrides win over the code", async () => {
    const { host } = start();
    const text = `${HEAD}export default mold(shrink(1, 0.1), { wall: param("wall", 1, { min: 0, max: 9 }) });`;
    expect((await host.build(ask(text, { overrides: { wall: 3 } }))).findings).toEqual([]);
  });

  test("from the disk, without overlays", async () => {
    const { host } = start();
    expect((await host.build(ask("", { overlays: {} }))).findings).toEqual([]);
  });

  test("runs from the sources as from the bundle", async () => {
    const { host } = start({ enginePath: join(fixtures, "child.ts") });
    expect((await host.build(ask(SOUND))).design).toBe("pot");
  });

  test("offers only fixes that cure", async () => {
    const { host } = start();
    const text = `${HEAD.replace(", shrink", "")}export default mold(2, { wall: 1 });\n`;
    const { findings } = await host.build(ask(text, { fixes: true }));
    // Of the two fixes of the wall one leaves it too thin; neither gets in the way of the other finding.
    expect(findings.map(({ code, fixes }) => [code, fixes.map((fix) => fix.title)])).toEqual([
      ["wall-thin", ["wall-thin 3"]],
      ["shrink-missing", ["shrink-missing 0.125"]],
    ]);
    const [{ edits }] = findings[1].fixes;
    expect(edits.map((one) => one.text)).toEqual([", shrink", "shrink(", ", 0.125)"]);
  });

  test("says what it found before the fixes are tried, to whom wants to hear it", async () => {
    const { host } = start();
    const text = `${HEAD}export default mold(2, { wall: 1 });\n`;
    const early: BuildResult[] = [];
    const result = await host.build(ask(text, { fixes: true }), (found) => early.push(found));
    const told = ({ findings }: BuildResult) => findings.map(({ code, fixes }) => [code, fixes.length]);
    expect(early.map(told)).toEqual([
      [
        ["wall-thin", 0],
        ["shrink-missing", 0],
      ],
    ]);
    expect(told(result)).toEqual([
      ["wall-thin", 1],
      ["shrink-missing", 1],
    ]);
    // Where there is nothing to try all is said at once.
    await host.build(ask(SOUND, { fixes: true }), (found) => early.push(found));
    await host.build(ask(text), (found) => early.push(found));
    expect(early).toHaveLength(1);
  });

  test("molds of a build that were told early are its molds", async () => {
    const { host } = start({ enginePath: join(import.meta.dirname, "../../../src/dsl/engine/child.ts") });
    const text = `import { loft, mold, profile } from "slabwright";
export default mold(loft([0, 60].map((z) => profile.circle({ diameter: 60 + z / 4 }).at(z))));\n`;
    const early: BuildResult[] = [];
    const result = await host.build(ask(text, { fixes: true }), (found) => early.push(found));
    expect(early).toHaveLength(1);
    expect(result.molds[0].surfaces.length).toBeGreaterThan(0);
    expect(result.molds).toEqual(early[0].molds);
    const whole = await host.build(ask(text, { fixes: true }));
    expect({ ...result, timings: {} }).toEqual({ ...whole, timings: {} });
  });

  test("a design that does not run is a result with a problem", async () => {
    const { host, faults } = start();
    const result = await host.build(ask(`${HEAD}mold(1, { wal: 2 });`));
    expect(result).toMatchObject({
      problem: { code: "kit-unknown-key", place: { line: 2, column: 11 } },
      molds: [],
    });
    expect(faults).toEqual([]);
  });

  test("a promise that the design leaves rejected is a problem where its error was made", async () => {
    const { host, faults, lines } = start();
    const slip = `${HEAD}const late = (async () => {\n  throw new Error("no network");\n})();\nexport default mold(1);\n`;
    const { problem, molds } = await host.build(ask(slip));
    expect(problem).toMatchObject({ code: "promise-rejected", place: { line: 3, column: 9 } });
    expect(problem?.message).toContain("Error: no network. Nothing in a design is awaited");
    expect(molds).toEqual([]);
    // One that the design itself looks after is its own business, and the next build is not blamed.
    const caught = `${HEAD}Promise.reject(1).catch(() => 0);\nexport default mold(1);\n`;
    expect((await host.build(ask(caught))).problem).toBeUndefined();
    const plain = `${HEAD}Promise.reject("a word");\nexport default mold(1);\n`;
    expect((await host.build(ask(plain))).problem?.message).toContain("rejected: “a word”. Nothing");
    expect([faults, lines]).toEqual([[], []]);
  });

  test("misuse that shows only when the mold is computed is a problem at its place", async () => {
    const { host, faults } = start();
    const { problem } = await host.build(ask(`${HEAD}export default mold(1, { name: "misuse" });`));
    expect(problem).toMatchObject({ code: "kit-conflict", place: { line: 2, column: 32, endColumn: 40 } });
    expect(faults).toEqual([]);
  });

  test("our own fault is told, and the next build is answered", async () => {
    const { host, faults } = start();
    await expect(host.build(ask(`${HEAD}export default mold(1, { name: "fault" });`))).rejects.toThrow(
      EngineFault,
    );
    expect(faults.map((one) => one.message)).toEqual(["the fixture has failed"]);
    expect(faults[0].stack).toContain("computeBuild");
    expect((await host.build(ask(SOUND))).findings).toEqual([]);
  });
});

describe("a design that does not end", () => {
  test.each([
    ["a loop", `let i = 0;\nfor (;;) {\n  i++;\n}`, [2, 3]],
    ["a loop in a helper", `const f = () => {\n  while (true) ;\n};\nf();`, [2]],
    ["a loop in a callback of the kit", `${HEAD}profile.polar(() => {\n  for (;;) Math.sin(1);\n});`, [3]],
    ["a search that explodes", `const s = "a".repeat(50);\n/^(a+)+$/.test(s + "b");`, [2]],
    [
      "promises that go on for ever",
      `const again = (): unknown =>\n  Promise.resolve().then(again);\nagain();\nexport default 1;`,
      [1, 2],
    ],
  ])("%s is stopped on its line", async (_title, text, lines) => {
    const { host, faults } = start({ timeLimitS: 1 });
    await host.build(ask(SOUND));
    const { problem, files } = await host.build(ask(text));
    expect(problem).toMatchObject({ code: "time-limit", args: { seconds: 1 }, place: { file: ENTRY } });
    expect(problem?.message).toBe(
      "The design ran for 1 s and was stopped here. If it needs longer, raise the time limit.",
    );
    expect(lines).toContain(problem?.place.line);
    expect(files).toEqual([ENTRY, SETTINGS]);
    expect((await host.build(ask(SOUND))).findings).toEqual([]);
    expect(faults).toEqual([]);
  });

  test("a loop in an imported file is stopped there", async () => {
    const { host } = start({ timeLimitS: 1 });
    const helper = join(folder, "spin.ts");
    const overlays = {
      [ENTRY]: `import { spin } from "./spin";\nspin();`,
      [helper]: "export function spin() {\n  for (;;) ;\n}",
    };
    const { problem, files } = await host.build(ask("", { overlays }));
    expect(problem).toMatchObject({
      code: "time-limit",
      place: { file: helper, line: 2, column: 3, endColumn: 13 },
    });
    expect(files).toEqual([ENTRY, helper, SETTINGS]);
  });

  test("what it wrote before is heard", async () => {
    const { host, lines } = start({ timeLimitS: 1 });
    await host.build(ask(`console.log("before");\nfor (;;) ;`));
    expect(lines).toEqual(["before"]);
  });

  test("the stopped process is gone and another one has taken its place", async () => {
    const { host } = start({ timeLimitS: 1 });
    await host.build(ask(SOUND));
    const { active, standby } = host.processes;
    await host.build(ask("for (;;) ;"));
    await host.build(ask(SOUND));
    expect(host.processes.active).toBe(standby);
    await until(() => !isAlive(active), "the stopped process to end");
  });

  test.each([
    ["numbers", `const all: number[] = [];\nfor (;;)\n  all.push(1);`],
    ["objects", `const all: unknown[] = [];\nfor (;;)\n  all.push({ all });`],
    ["buffers", `const all: unknown[] = [];\nfor (;;)\n  all.push(new Uint8Array(1e7).fill(1));`],
  ])("memory: %s are stopped on their line", async (_title, text) => {
    const { host, faults } = start({ memoryLimitMB: 256, timeLimitS: 50 });
    const { problem } = await host.build(ask(text));
    expect(problem).toMatchObject({ code: "memory-limit", args: { limit: 256 }, place: { file: ENTRY } });
    expect(problem?.message).toBe(
      "The design used more than 256 MB of memory and was stopped here. Look for something that grows without end.",
    );
    expect([2, 3]).toContain(problem?.place.line);
    expect((await host.build(ask(SOUND))).findings).toEqual([]);
    expect(faults).toEqual([]);
  });
});

describe("the order of things", () => {
  const slow = `${HEAD}export default mold(shrink(1, 0.1), { name: "slow" });`;

  test("a waiting build is superseded by a newer one of its design, not by one of another", async () => {
    const { host } = start();
    const other = join(folder, "other.mold.ts");
    const first = host.build(ask(SOUND));
    const second = host.build(ask(SOUND, { entry: other, overlays: { [other]: SOUND } }));
    const third = host.build(ask(SOUND, { entry: other, overlays: { [other]: SOUND } }));
    await expect(second).rejects.toThrow(Superseded);
    expect((await third).design).toBe("other");
    expect((await first).design).toBe("pot");
  });

  test("our own work on an old text ends at its next pause", async () => {
    const { host } = start();
    const { active } = host.processes;
    const first = host.build(ask(slow));
    const rejected = expect(first).rejects.toThrow(Superseded);
    await new Promise((resolve) => setTimeout(resolve, 500));
    expect((await host.build(ask(SOUND))).findings).toEqual([]);
    await rejected;
    expect(host.processes.active).toBe(active);
  });

  test("the maker's code of an old text is not waited for", async () => {
    const { host } = start({ timeLimitS: 60 });
    const first = host.build(ask("for (;;) ;"));
    const rejected = expect(first).rejects.toThrow(Superseded);
    expect((await host.build(ask(SOUND))).findings).toEqual([]);
    await rejected;
  });

  test("restart rejects what is under way, and goes on", async () => {
    const { host } = start();
    const { active } = host.processes;
    const first = host.build(ask(slow));
    const rejected = expect(first).rejects.toThrow(EngineStopped);
    host.restart();
    await rejected;
    expect((await host.build(ask(SOUND))).findings).toEqual([]);
    await until(() => !isAlive(active), "the old process to end");
  });

  test("dispose ends every process and every request", async () => {
    const { host } = start();
    await host.build(ask(SOUND));
    const { active, standby } = host.processes;
    const first = host.build(ask(slow));
    const rejected = expect(first).rejects.toThrow(EngineStopped);
    host.dispose();
    await rejected;
    await expect(host.build(ask(SOUND))).rejects.toThrow(EngineStopped);
    await until(() => !isAlive(active) && !isAlive(standby), "both processes to end");
  });

  test("without a standby there is one process", async () => {
    const { host } = start({ standby: false });
    await host.build(ask(SOUND));
    expect(host.processes.standby).toBeUndefined();
  });

  test("a process that is killed from outside is a fault, and the next build is answered", async () => {
    const { host, faults } = start();
    const first = host.build(ask(slow));
    const rejected = expect(first).rejects.toThrow("The engine ended: SIGKILL.");
    await new Promise((resolve) => setTimeout(resolve, 300));
    process.kill(host.processes.active ?? 0, "SIGKILL");
    await rejected;
    expect(faults).toHaveLength(1);
    expect((await host.build(ask(SOUND))).findings).toEqual([]);
  });

  test("an engine that is not there is a fault", async () => {
    const { host, faults } = start({ enginePath: join(folder, "no.mjs") });
    await expect(host.build(ask(SOUND))).rejects.toThrow(EngineFault);
    expect(faults[0].stack).toContain("Cannot find module");
  });
});

describe("an export", () => {
  const out = join(folder, "out");
  const exportAsk = { entry: ENTRY, root: folder, out, formats: [], allowErrors: false };

  test("tells its progress and its folder", async () => {
    writeFileSync(ENTRY, SOUND);
    const { host } = start();
    const seen: unknown[] = [];
    const result = await host.exportDesign(exportAsk, { onProgress: (...step) => seen.push(step) });
    expect(result).toEqual({ findings: [], folder: out, files: [], parts: [] });
    expect(seen).toEqual([0, 1, 2].map((done) => [done, 3, "part"]));
  });

  test("of a design with errors writes nothing unless it may", async () => {
    const { host } = start();
    writeFileSync(ENTRY, `${HEAD}export default mold(1, { wall: 1 });`);
    const result = await host.exportDesign(exportAsk);
    expect(result.folder).toBeUndefined();
    const fix = (code: string, value: number) => {
      return { title: `${code} ${value}`, code, args: { value }, edits: [] };
    };
    expect(result.findings.map(({ code, fixes }) => [code, fixes])).toEqual([
      ["wall-thin", [fix("wall-thin", 3), fix("wall-thin", 1)]],
      ["shrink-missing", [fix("shrink-missing", 0.125)]],
    ]);
    expect((await host.exportDesign({ ...exportAsk, allowErrors: true })).folder).toBe(out);
    writeFileSync(ENTRY, SOUND);
  });

  test("of a design that does not run gives its problem", async () => {
    const { host } = start();
    writeFileSync(ENTRY, "throw new Error('x');");
    expect(await host.exportDesign(exportAsk)).toMatchObject({ problem: { code: "thrown" }, files: [] });
    writeFileSync(ENTRY, `Promise.reject(new Error("late"));\n${SOUND}`);
    const rejected = await host.exportDesign(exportAsk);
    expect(rejected).toMatchObject({ problem: { code: "promise-rejected" }, files: [] });
    expect(rejected.folder).toBeUndefined();
    writeFileSync(ENTRY, SOUND);
  });

  test("is ended by its signal, and the process with it", async () => {
    const { host } = start();
    await host.build(ask(SOUND));
    writeFileSync(ENTRY, "for (;;) ;");
    const { active } = host.processes;
    const controller = new AbortController();
    const exported = host.exportDesign(exportAsk, { signal: controller.signal });
    const rejected = expect(exported).rejects.toThrow("enough");
    await new Promise((resolve) => setTimeout(resolve, 300));
    controller.abort(new Error("enough"));
    await rejected;
    await until(() => !isAlive(active), "the process to end");
    writeFileSync(ENTRY, SOUND);
    expect((await host.build(ask(SOUND))).findings).toEqual([]);
    await expect(
      host.exportDesign(exportAsk, { signal: AbortSignal.abort(new Error("before")) }),
    ).rejects.toThrow("before");
  });
});
