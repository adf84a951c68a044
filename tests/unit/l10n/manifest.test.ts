import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { commandIds } from "../../../src/extension/commands/ids.ts";
import { findingLines, problemLines } from "../../../src/dsl/cli/report.ts";

const root = join(import.meta.dirname, "..", "..", "..");
const read = (name: string) => readFileSync(join(root, name), "utf8");
const manifest = JSON.parse(read("package.json")) as {
  contributes: {
    commands: { command: string }[];
    snippets: { path: string }[];
    problemMatchers: { pattern: { regexp: string } & Record<string, number> }[];
    walkthroughs: { steps: { media: { markdown: string }; description: string }[] }[];
  };
};
const { contributes } = manifest;
const sentences = JSON.parse(read("package.nls.json")) as Record<string, string>;

describe("the manifest", () => {
  it("takes each of its sentences from package.nls.json, and that holds no other", () => {
    const used = [...read("package.json").matchAll(/"%([^%"]+)%"/g)].map(([, key]) => key);
    expect(new Set(used)).toEqual(new Set(Object.keys(sentences)));
  });

  it("names every command that there is, and no other", () => {
    const named = contributes.commands.map(({ command }) => command.replace("slabwright.", ""));
    expect(named.toSorted()).toEqual(commandIds.toSorted());
    const said = Object.values(sentences).join(" ");
    for (const [, id] of said.matchAll(/command:slabwright\.(\w+)/g)) expect(commandIds).toContain(id);
  });

  it("leads to files that are there", () => {
    for (const { path } of contributes.snippets)
      expect(() => JSON.parse(read(path)) as unknown).not.toThrow();
    for (const { steps } of contributes.walkthroughs)
      for (const { media } of steps) expect(read(media.markdown).length).toBeGreaterThan(100);
  });
});

describe("$slabwright reads what slabwright check prints", () => {
  const [{ pattern }] = contributes.problemMatchers;
  const place = { file: "/pots/a cup.mold.ts", line: 12, column: 3, endLine: 12, endColumn: 9 };
  const match = (line: string) => {
    const found = new RegExp(pattern.regexp).exec(line);
    const group = (name: string) => found?.[pattern[name]];
    return ["file", "line", "column", "severity", "code", "message"].map(group);
  };
  const finding = { args: {}, place, fixes: [], message: "wall-a: drags. Turn the seams." };

  it("an error", () => {
    const [line] = findingLines({ ...finding, code: "undercut", severity: "error" }, "/pots");
    expect(match(line)).toEqual(["a cup.mold.ts", "12", "3", undefined, "undercut", finding.message]);
  });

  it("a warning and a note", () => {
    for (const severity of ["warning", "info"] as const) {
      const [line] = findingLines({ ...finding, code: "draft-low", severity }, "/pots");
      expect(match(line)).toEqual(["a cup.mold.ts", "12", "3", severity, "draft-low", finding.message]);
    }
  });

  it("a design that does not run", () => {
    const [line] = problemLines({ code: "syntax", message: "This does not parse: x.", place }, "/pots");
    expect(match(line)).toEqual(["a cup.mold.ts", "12", "3", undefined, "syntax", "This does not parse: x."]);
  });
});
