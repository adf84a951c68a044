import { readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { exportAll, root } from "./exports.ts";

const exported = await exportAll();
const examples = readdirSync(join(root, "examples"))
  .filter((name) => name.endsWith(".mold.ts"))
  .map((name) => name.replace(".mold.ts", ""));
const of = (name: string) => {
  const found = exported.find(({ manifest }) => manifest.design === name);
  if (!found) throw new Error(`${name} was not exported`);
  return found.manifest;
};

test.each(examples)(
  "%s exports without any finding, its parts fit the bed of the fallback printer",
  (name) => {
    const { findings, molds } = of(name);
    expect(findings).toEqual([]);
    for (const { printer, parts } of molds) {
      expect(printer.bed).toEqual([220, 220, 250]);
      for (const part of parts) {
        expect(part.fitsBed, part.name).toBe(true);
        if (part.role === "vessel") continue;
        expect(part.size[0], part.name).toBeLessThan(220);
        expect(part.size[1], part.name).toBeLessThan(220);
        expect(part.size[2], part.name).toBeLessThan(250);
      }
    }
  },
);

test("each kind of part is among what the outside readers see", () => {
  const roles = new Set(
    exported.flatMap(({ manifest }) => manifest.molds.flatMap(({ parts }) => parts.map(({ role }) => role))),
  );
  expect([...roles].sort()).toEqual(["cutter", "floor", "peg", "rail", "vessel", "wall"]);
});
