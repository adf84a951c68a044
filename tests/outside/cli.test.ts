import { spawn, spawnSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { afterEach, beforeEach, expect, test } from "vitest";
import { manifestSchema } from "../../shared/manifest.ts";
import { filesIn, occupantOf } from "../../src/dsl/output/folder.ts";
import { CLI, root, slabwright } from "./exports.ts";

const EXAMPLE = "octagon-beaker.mold.ts";

let cwd: string;
beforeEach(() => {
  cwd = realpathSync(mkdtempSync(join(tmpdir(), "slabwright-command-")));
  cpSync(join(root, "examples", EXAMPLE), join(cwd, EXAMPLE));
});
afterEach(() => rmSync(cwd, { recursive: true, force: true }));

/** Writes a design and runs a command on it. */
function on(text: string, command: string, ...words: string[]) {
  writeFileSync(join(cwd, "mug.mold.ts"), text);
  return slabwright([command, "mug.mold.ts", ...words], cwd);
}

const MUG = `import { loft, mold, profile, shrink, split } from "slabwright";
const ring = profile.circle({ diameter: 70 });
const mug = loft([ring.at(0), ring.scale(1.15).at(80)]);
export default mold(shrink(mug, 0.12), { seams: split({ parts: 3 }) });
`;

test("an export in a pipe that goes well says nothing and ends with 0", () => {
  const { status, stdout, stderr } = slabwright(["export", EXAMPLE], cwd);
  expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: "", stderr: "" });
  expect(readdirSync(cwd).sort()).toEqual([EXAMPLE, "out"]);
});

test("the same design gives the same bytes in another folder", async () => {
  slabwright(["export", EXAMPLE], cwd);
  slabwright(["export", join("examples", EXAMPLE), "--out", join(cwd, "again")], root);
  const [a, b] = ["out", "again"].map((folder) => join(cwd, folder, "octagon-beaker"));
  expect(await filesIn(a)).toEqual(await filesIn(b));
  for (const path of await filesIn(a)) {
    expect(readFileSync(join(a, path)).equals(readFileSync(join(b, path))), path).toBe(true);
  }
});

test("the manifest names no folder of this machine", () => {
  slabwright(["export", EXAMPLE], cwd);
  expect(readFileSync(join(cwd, "out/octagon-beaker/manifest.json"), "utf8")).not.toContain(cwd);
});

test("the beaker has no finding", () => {
  const { status, stdout, stderr } = slabwright(["check", EXAMPLE, "--json"], cwd);
  expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
  expect(JSON.parse(stdout)).toEqual({ design: "octagon-beaker", findings: [] });
});

test.each([
  [
    "a throw",
    `\n\nthrow new Error("the glaze is not dry");\n`,
    /^mug\.mold\.ts:3:\d+: thrown: .*the glaze is not dry\n$/,
  ],
  ["bad syntax", `const a = ;\nexport default a;\n`, /^mug\.mold\.ts:1:\d+: syntax: /],
  ["no default export", `export const a = 1;\n`, /^mug\.mold\.ts:\d+:\d+: no-default: /],
  [
    "an unknown option",
    MUG.replace("{ seams", "{ slabs: 6, seams"),
    /^mug\.mold\.ts:4:\d+: kit-unknown-key: .*“slabs”/,
  ],
  [
    "a missing import",
    `import { x } from "./nowhere";\nexport default x;\n`,
    /^mug\.mold\.ts:1:\d+: [\w-]+: .*nowhere/,
  ],
])("%s is one line with its place, and nothing is written", (_, text, line) => {
  for (const command of ["check", "export"]) {
    const { status, stdout, stderr } = on(text, command);
    expect({ status, stdout }).toEqual({ status: 1, stdout: "" });
    expect(stderr).toMatch(line);
    expect(stderr.trimEnd().split("\n").length).toBe(1);
  }
  expect(existsSync(join(cwd, "out"))).toBe(false);
});

test("an endless loop is stopped and its line named", () => {
  const { status, stderr } = on(`let n = 0;\nfor (;;) {\n  n++;\n}\nexport default n;\n`, "check");
  expect(status).toBe(1);
  expect(stderr).toMatch(/^mug\.mold\.ts:[23]:\d+: time-limit: /);
});

test("what a design writes with console goes to stderr", () => {
  const { status, stdout, stderr } = on(`console.log("wet", 3);\n${MUG}`, "check");
  expect({ status, stdout }).toEqual({ status: 0, stdout: "" });
  expect(stderr).toContain("wet 3");
});

test("an error finding stops an export unless it is allowed, and is status 1 either way", () => {
  const text = MUG.replace("shrink(mug, 0.12)", "mug");
  const refused = on(text, "export");
  expect(refused.status).toBe(1);
  expect(refused.stderr).toMatch(/^mug\.mold\.ts:4:\d+: shrink-missing: /);
  expect(existsSync(join(cwd, "out"))).toBe(false);

  const allowed = on(text, "export", "--allow-errors");
  expect(allowed.status).toBe(1);
  expect(allowed.stderr).toContain("shrink-missing");
  const manifest = manifestSchema.parse(JSON.parse(readFileSync(join(cwd, "out/mug/manifest.json"), "utf8")));
  expect(manifest.findings.map(({ code }) => code)).toContain("shrink-missing");
});

test("the edits of a fix, made as check --json gives them, cure its finding", () => {
  const text = MUG.replace("shrink(mug, 0.12)", "mug").replace("shrink, ", "");
  const { stdout } = on(text, "check", "--json");
  const { findings } = JSON.parse(stdout) as {
    findings: {
      code: string;
      fixes: { edits: { file: string; start: number; end: number; text: string }[] }[];
    }[];
  };
  const missing = findings.find(({ code }) => code === "shrink-missing");
  const edits = missing?.fixes[0]?.edits ?? [];
  expect(edits.length).toBeGreaterThan(0);
  let cured = text;
  for (const { start, end, text: put } of edits.toSorted((a, b) => b.start - a.start)) {
    cured = cured.slice(0, start) + put + cured.slice(end);
  }
  expect(on(cured, "check").stderr).not.toContain("shrink-missing");
});

test("a folder with a file of the maker's own is left as it is", () => {
  slabwright(["export", EXAMPLE], cwd);
  writeFileSync(join(cwd, "out/octagon-beaker/notes.txt"), "mine");
  const { status, stderr } = slabwright(["export", EXAMPLE], cwd);
  expect(status).toBe(1);
  expect(stderr).toMatch(/^octagon-beaker\.mold\.ts:1:1: folder-not-ours: .*notes\.txt/);
  expect(readFileSync(join(cwd, "out/octagon-beaker/notes.txt"), "utf8")).toBe("mine");
});

test("a new design from the template checks without a finding and is not overwritten", () => {
  expect(slabwright(["new", "cup"], cwd)).toMatchObject({ status: 0, stdout: "cup.mold.ts\n", stderr: "" });
  expect(slabwright(["check", "cup.mold.ts"], cwd)).toMatchObject({ status: 0, stderr: "" });
  writeFileSync(join(cwd, "cup.mold.ts"), "// mine");
  expect(slabwright(["new", "cup"], cwd).status).toBe(1);
  expect(readFileSync(join(cwd, "cup.mold.ts"), "utf8")).toBe("// mine");
});

test("a terminal sees progress and a table", () => {
  const seen = spawnSync(
    "script",
    ["-qec", `"${process.execPath}" "${CLI}" export ${EXAMPLE}`, "/dev/null"],
    {
      cwd,
      encoding: "utf8",
    },
  );
  expect(seen.status).toBe(0);
  expect(seen.stdout).toMatch(/\[\d+\/\d+\] /);
  expect(seen.stdout).toMatch(/part +size, mm +filament +printing +plate/);
  expect(seen.stdout).toMatch(/no findings · \d+ files in out\/octagon-beaker/);
});

test.each(["SIGKILL", "SIGINT"] as const)(
  "%s in the middle leaves the previous export, and no process",
  async (signal) => {
    slabwright(["export", EXAMPLE], cwd);
    const target = join(cwd, "out/octagon-beaker");
    const before = readFileSync(join(target, "manifest.json"), "utf8");
    for (const after of [150, 600, 1200]) {
      // A group of its own, as in a shell: the engine hears the signal as well.
      const child = spawn(process.execPath, [CLI, "export", EXAMPLE], {
        cwd,
        detached: true,
        stdio: "ignore",
      });
      const ended = new Promise((resolve) => child.once("exit", resolve));
      await sleep(after);
      if (child.pid !== undefined && child.exitCode === null) process.kill(-child.pid, signal);
      await ended;
      expect((await occupantOf(target)).kind).toBe("export");
      expect(readFileSync(join(target, "manifest.json"), "utf8")).toBe(before);
    }
    expect(slabwright(["export", EXAMPLE], cwd).status).toBe(0);
    expect(readdirSync(join(cwd, "out"))).toEqual(["octagon-beaker"]);
  },
);
