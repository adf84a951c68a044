import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { findingCodes } from "../../../shared/finding.ts";
import { helpFamilies, helpPage } from "../../../shared/help.ts";
import { messages } from "../../../shared/messages.ts";
import { problemMessages } from "../../../shared/problems.ts";

const folder = join(import.meta.dirname, "..", "..", "..", "docs", "findings");
const files = readdirSync(folder).filter((name) => name !== "README.md");
const text = (page: string) => readFileSync(join(folder, `${page}.md`), "utf8");

/** Codes that were agreed on and whose check may still be on its way. */
const agreed = [
  "body-open",
  "body-crossing",
  "rim-uneven",
  "part-locked",
  "slab-crowded",
  "clay-grips",
  "clay-thin",
  "corner-sharp",
  "reach-narrow",
  "seam-unreachable",
  "cutter-large",
  "pattern-stretch",
  "lid-tight",
  "overhang",
  "template-only",
  "shrink-later",
  "seams-flat",
];

describe("pages about findings", () => {
  for (const code of findingCodes) {
    it(`${code} has a page that says what happens, how it is measured and what to change`, () => {
      expect(helpPage(code)).toBe(code);
      const page = text(code);
      expect(page.split("\n")[0]).toMatch(new RegExp(`^# .+ — \`${code}\`$`));
      for (const part of ["**At the bench.**", "**How it is measured.**", "**What to change.**", "```ts"])
        expect(page).toContain(part);
      expect(text("README")).toContain(`(${code}.md)`);
    });
  }

  it("every code of a problem, and of misuse of the kit, stands on the page of its family", () => {
    const codes = [
      ...Object.keys(problemMessages),
      ...Object.keys(messages).filter((code) => code.startsWith("kit-")),
    ];
    for (const code of codes) {
      const page = helpPage(code);
      expect(page, code).toBeDefined();
      expect(text(page!), code).toContain(`\`${code}`);
    }
  });

  it("there is no page without its code", () => {
    const known: string[] = [...findingCodes, ...agreed, ...helpFamilies];
    for (const file of files) expect(known).toContain(file.replace(/\.md$/, ""));
    for (const family of helpFamilies) expect(files).toContain(`${family}.md`);
  });

  it("links between pages lead somewhere", () => {
    for (const file of [...files, "README.md"]) {
      for (const [, target] of text(file.replace(/\.md$/, "")).matchAll(/\]\(([^)]+\.md)\)/g))
        expect([...files, "README.md"], `${file} → ${target}`).toContain(target);
    }
  });
});
