import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import ts from "typescript";
import { afterAll, describe, expect, it } from "vitest";
import { kitTypes, solidsTypes } from "../../../scripts/types.ts";
import {
  consoleTypes,
  generatedMark,
  isCuredBySetUp,
  linesToAdd,
  tsconfigText,
  typesFolder,
} from "../../../src/extension/language/folder.ts";

const root = join(import.meta.dirname, "..", "..", "..");
const shipped = { slabwright: kitTypes(root), solids: solidsTypes(root) };
const folders: string[] = [];
afterAll(() => folders.forEach((folder) => rmSync(folder, { recursive: true })));

/** A folder as the set-up leaves it, with these files of the maker in it. */
function setUp(settings: string, files: Record<string, string>): string {
  const folder = mkdtempSync(join(tmpdir(), "slabwright-folder-"));
  folders.push(folder);
  const types = join(folder, typesFolder);
  mkdirSync(types, { recursive: true });
  writeFileSync(join(types, "slabwright.d.ts"), shipped.slabwright);
  writeFileSync(join(types, "jscad-modeling.d.ts"), shipped.solids);
  writeFileSync(join(types, "console.d.ts"), consoleTypes);
  writeFileSync(join(folder, "tsconfig.json"), settings);
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return folder;
}

/** What TypeScript says of the whole folder, libraries of types included. */
function complaints(folder: string): string[] {
  const path = join(folder, "tsconfig.json");
  const { config, error } = ts.readConfigFile(path, (file) => ts.sys.readFile(file)) as {
    config: unknown;
    error?: ts.Diagnostic;
  };
  const parsed = ts.parseJsonConfigFileContent(config, ts.sys, folder);
  const program = ts.createProgram(parsed.fileNames, { ...parsed.options, skipLibCheck: false });
  const all = [...(error ? [error] : []), ...parsed.errors, ...ts.getPreEmitDiagnostics(program)];
  return all.map(({ code, messageText, file }) => {
    return `${file?.fileName ?? ""} ${code} ${ts.flattenDiagnosticMessageText(messageText, " ")}`;
  });
}

const design = `
import { primitives, transforms } from "@jscad/modeling";
import { cuboid } from "@jscad/modeling/src/primitives";
import { loft, mold, profile, shrink, type Outline } from "slabwright";
import { lip } from "./parts.ts";
import sizes from "./sizes.json";

const foot: Outline = profile.circle({ diameter: sizes.foot });
const knob = transforms.translate([0, 0, 4], primitives.sphere({ radius: 6 }));
console.log(knob.polygons.length, cuboid({ size: [1, 2, 3] }).polygons.length);
export default mold(shrink(loft([foot.at(0), lip.at(80)]), 0.12));
`;
const rest = {
  "parts.ts": 'import { profile } from "slabwright";\nexport const lip = profile.circle({ diameter: 80 });\n',
  "sizes.json": '{ "foot": 60 }\n',
};

describe("a folder that is set up", () => {
  it("lets TypeScript read a design without a complaint", () => {
    expect(complaints(setUp(tsconfigText(), { "cup.mold.ts": design, ...rest }))).toEqual([]);
  }, 120_000);

  it("has every example without a complaint", () => {
    const folder = setUp(tsconfigText(), {});
    cpSync(join(root, "examples"), folder, { recursive: true });
    expect(complaints(folder)).toEqual([]);
  }, 120_000);

  it("still says what is wrong", () => {
    const wrong = design
      .replace("diameter: sizes.foot", "diametr: sizes.foot")
      .replace("4], prim", "4], 7, prim");
    const said = complaints(setUp(tsconfigText(), { "cup.mold.ts": wrong, ...rest }));
    expect(said.join("\n")).toMatch(/diametr/);
    expect(said.length).toBeGreaterThan(0);
  }, 120_000);

  it("works with the lines added to settings that were there", () => {
    const added = JSON.parse(linesToAdd()) as { compilerOptions: object; include: string[] };
    const mine = { compilerOptions: { ...added.compilerOptions, strict: false, target: "es2022" } };
    const folder = setUp(JSON.stringify({ ...mine, include: added.include }), {
      "cup.mold.ts": design,
      ...rest,
    });
    rmSync(join(folder, typesFolder, "console.d.ts"));
    expect(complaints(folder)).toEqual([]);
  }, 120_000);
});

describe("texts of the set-up", () => {
  it("are JSON with the settings that were agreed on", () => {
    expect(JSON.parse(tsconfigText())).toEqual({
      compilerOptions: {
        target: "es2023",
        module: "esnext",
        moduleResolution: "bundler",
        lib: ["es2023"],
        types: [],
        strict: true,
        noEmit: true,
        allowImportingTsExtensions: true,
        erasableSyntaxOnly: true,
        paths: { slabwright: ["./.slabwright/types/slabwright.d.ts"] },
      },
      include: ["**/*.ts", ".slabwright/types/*.d.ts"],
    });
    expect(tsconfigText()).toContain('"lib": ["es2023"],');
  });

  it("say in their first line that they are generated", () => {
    for (const text of [consoleTypes, shipped.slabwright, shipped.solids])
      expect(text.startsWith(generatedMark)).toBe(true);
  });

  it("cure our modules alone", () => {
    const missing = (name: string) => `Cannot find module '${name}' or its corresponding type declarations.`;
    expect(isCuredBySetUp(2307, missing("slabwright"))).toBe(true);
    expect(isCuredBySetUp(2307, missing("@jscad/modeling"))).toBe(true);
    expect(isCuredBySetUp(2307, missing("@jscad/modeling/src/primitives"))).toBe(true);
    expect(isCuredBySetUp(2307, missing("slabwright-extras"))).toBe(false);
    expect(isCuredBySetUp(2304, "Cannot find name 'slabwright'.")).toBe(false);
  });
});
