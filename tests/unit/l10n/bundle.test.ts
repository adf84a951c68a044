import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { bundleText, sentencesIn } from "../../../scripts/l10n/bundle.ts";

const root = join(import.meta.dirname, "..", "..", "..");

describe("the bundle for translators", () => {
  it("is current; npm run l10n makes it so", async () => {
    expect(await readFile(join(root, "l10n", "bundle.l10n.json"), "utf8")).toBe(await bundleText(root));
  });

  it("takes the sentence of each call, also from conditions and templates without values", () => {
    const text = 'vscode.l10n.t("One {0}", 1); const a = b ? l10n.t(`Two`) : other.t("three");';
    expect(sentencesIn(text, "src/extension/a.ts")).toEqual(["One {0}", "Two"]);
  });

  it("refuses a sentence that is put together where it is used", () => {
    expect(() => sentencesIn('\nl10n.t("a" + b)', "src/extension/a.ts")).toThrow("src/extension/a.ts:2");
  });
});
