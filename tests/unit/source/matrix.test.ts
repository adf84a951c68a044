import { describe, expect, test } from "vitest";
import type { Change } from "../../../shared/change.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";
import { designOf, ENTRY, FOLDER } from "../evaluate/run.ts";

/** Each kind of change against each way in which makers write. */
type Wish = Change extends infer C ? (C extends { call: unknown } ? Omit<C, "call"> : never) : never;

const IMPORT = `import { loft, mold, profile, shrink } from "slabwright";\n`;

function write(text: string, wish: Wish, of: string, files: Record<string, string> = {}) {
  const design = designOf(text, files);
  const { calls } = design;
  const call = Array.from({ length: calls.size }, (_, id) => id).findLast((id) => calls.nameOf(id) === of);
  const written = design.editsFor({ ...wish, call: call ?? -1 });
  if ("refusal" in written) return { refused: written.refusal.code, line: written.refusal.place?.line };
  const file = written.edits[0].file;
  return { file, text: applyEdits(design.texts.get(file) ?? "", written.edits) };
}

interface Kind {
  wish: Wish;
  of: string;
  /** A call that has the value where `VALUE` stands. */
  call: (value: string) => string;
  /** What stands there before and after. */
  before: string;
  after: string;
}

const values: Record<string, Kind> = {
  setOption: {
    wish: { kind: "setOption", argument: 1, path: ["wall"], value: 3 },
    of: "mold",
    call: (value) => `export default mold(1, { slab: 6, wall: ${value} });`,
    before: "2",
    after: "3",
  },
  setArgument: {
    wish: { kind: "setArgument", argument: 1, value: 0.12 },
    of: "shrink",
    call: (value) => `export default mold(shrink(1, ${value}));`,
    before: "0.2",
    after: "0.12",
  },
  setPrinter: {
    wish: { kind: "setPrinter", name: "large" },
    of: "mold",
    call: (value) => `export default mold(1, { printer: ${value} });`,
    before: `"small"`,
    after: `"large"`,
  },
};

describe.each(Object.entries(values))("%s: a value", (_name, { wish, of, call, before, after }) => {
  const expectText = (text: string, changed: string, files: Record<string, string> = {}, file = ENTRY) =>
    expect(write(text, wish, of, files)).toEqual({ file, text: changed });

  test("literal", () => expectText(IMPORT + call(before), IMPORT + call(after)));

  test("const used once", () =>
    expectText(
      `${IMPORT}const own = ${before};\n${call("own")}`,
      `${IMPORT}const own = ${after};\n${call("own")}`,
    ));

  test("const used twice is refused, with its line", () =>
    expect(write(`${IMPORT}const own = ${before};\nloft(own);\n${call("own")}`, wish, of)).toEqual({
      refused: "edit-value-shared",
      line: 2,
    }));

  test("computed is refused", () =>
    expect(write(`${IMPORT}${call(`[${before}][0]`)}`, wish, of)).toEqual({
      refused: "edit-value-computed",
      line: 2,
    }));

  test("imported is refused", () =>
    expect(
      write(`import { own } from "./sizes";\n${IMPORT}${call("own")}`, wish, of, {
        "sizes.ts": `export const own = ${before};`,
      }),
    ).toEqual({ refused: "edit-value-import", line: 1 }));

  test("CRLF", () => {
    const crlf = (value: string) =>
      `${IMPORT}\n${call(value).replace("(", "(\n  ")}\n`.replaceAll("\n", "\r\n");
    expectText(crlf(before), crlf(after));
  });

  test("comments kept", () =>
    expectText(
      `${IMPORT}// as fired\n${call(`/* mm */ ${before} // thin\n`)}`,
      `${IMPORT}// as fired\n${call(`/* mm */ ${after} // thin\n`)}`,
    ));

  test("with a type", () => expectText(IMPORT + call(`${before} as any`), IMPORT + call(`${after} as any`)));

  test("helper file", () => {
    const helper = (value: string) =>
      `${IMPORT}export const make = () => {\n  return ${call(value).replace(/^export default |;$/g, "")};\n};\n`;
    expectText(
      `import { make } from "./make";\nexport default make();\n`,
      helper(after),
      { "make.ts": helper(before) },
      `${FOLDER}/make.ts`,
    );
  });
});

describe.each([
  ["setOption", values.setOption.wish, "wall: 3"],
  ["setPrinter", values.setPrinter.wish, `printer: "large"`],
])("%s: a key that is absent", (_name, wish, item) => {
  test.each([
    ["one line", "mold(1, { slab: 6 })", `mold(1, { slab: 6, ${item} })`],
    ["tight", "mold(1, {slab: 6})", `mold(1, {slab: 6, ${item}})`],
    ["lines", "mold(1, {\n    slab: 6,\n})", `mold(1, {\n    slab: 6,\n    ${item},\n})`],
    ["CRLF", "mold(1, {\r\n  slab: 6,\r\n})", `mold(1, {\r\n  slab: 6,\r\n  ${item},\r\n})`],
    ["comments", "mold(1, {\n  slab: 6, // wet\n})", `mold(1, {\n  slab: 6, // wet\n  ${item},\n})`],
    ["no options", "mold(1)", `mold(1, { ${item} })`],
  ])("%s", (title, before, after) => {
    const text = (call: string) =>
      `${title === "CRLF" ? IMPORT.replace("\n", "\r\n") : IMPORT}export default ${call};`;
    expect(write(text(before), wish, "mold")).toEqual({ file: ENTRY, text: text(after) });
  });

  test("options in a const", () =>
    expect(write(`${IMPORT}const own = { slab: 6 };\nexport default mold(1, own);`, wish, "mold")).toEqual({
      file: ENTRY,
      text: `${IMPORT}const own = { slab: 6, ${item} };\nexport default mold(1, own);`,
    }));

  test.each([
    [
      "options used twice",
      "const own = { slab: 6 };\nloft(own);\nexport default mold(1, own);",
      "edit-value-shared",
    ],
    ["spread", "const own = {};\nexport default mold(1, { ...own });", "edit-spread"],
    ["computed", "export default mold(1, Object.assign({}));", "edit-value-computed"],
  ])("%s is refused", (_title, text, refused) =>
    expect(write(IMPORT + text, wish, "mold")).toMatchObject({ refused }),
  );
});

describe("wrap and unwrap", () => {
  const wrap: Wish = { kind: "wrap", argument: 0, name: "shrink", args: [0.12] };
  const unwrap: Wish = { kind: "unwrap", argument: 0 };
  const there = `import { mold, shrink } from "slabwright";\n`;
  const missing = `import { mold } from "slabwright";\n`;

  test.each([
    ["literal", "export default mold(1);", "export default mold(shrink(1, 0.12));"],
    [
      "const used once",
      "const b = 1;\nexport default mold(b);",
      "const b = 1;\nexport default mold(shrink(b, 0.12));",
    ],
    [
      "const used twice: only this use is wrapped",
      "const b = 1;\nexport default [b, mold(b)];",
      "const b = 1;\nexport default [b, mold(shrink(b, 0.12))];",
    ],
    ["computed", "export default mold(1 + 1);", "export default mold(shrink(1 + 1, 0.12));"],
    [
      "comments",
      "export default mold(/* fired */ 1 /* mm */, {});",
      "export default mold(/* fired */ shrink(1, 0.12) /* mm */, {});",
    ],
    [
      "CRLF",
      "export default mold(\r\n  1,\r\n  {},\r\n);",
      "export default mold(\r\n  shrink(1, 0.12),\r\n  {},\r\n);",
    ],
  ])("wrap, %s, with the import there and missing", (_title, before, after) => {
    expect(write(there + before, wrap, "mold")).toEqual({ file: ENTRY, text: there + after });
    expect(write(missing + before, wrap, "mold")).toEqual({ file: ENTRY, text: there + after });
  });

  test("wrap, spread arguments are refused", () =>
    expect(write(`${there}export default mold(...[1]);`, wrap, "mold")).toMatchObject({
      refused: "edit-spread",
    }));

  test("wrap, helper file without the import", () => {
    const helper = (call: string, names: string) =>
      `import { ${names} } from "slabwright";\r\nexport const make = (b: number) => ${call};\r\n`;
    expect(
      write(`import { make } from "./make";\nexport default make(1);`, wrap, "mold", {
        "make.ts": helper("mold(b)", "mold"),
      }),
    ).toEqual({ file: `${FOLDER}/make.ts`, text: helper("mold(shrink(b, 0.12))", "mold, shrink") });
  });

  test.each([
    ["literal", "export default mold(shrink(1, 0.1));", "export default mold(1);"],
    ["const", "const b = 1;\nexport default mold(shrink(b, 0.1));", "const b = 1;\nexport default mold(b);"],
    ["computed", "export default mold(shrink(1 + 1, 0.1));", "export default mold((1 + 1));"],
    ["CRLF", "export default mold(\r\n  shrink(1, 0.1),\r\n);", "export default mold(\r\n  1,\r\n);"],
    [
      "comments about what stays",
      "export default mold(shrink(/* fired */ 1, 0.1 /* lost */) /* end */);",
      "export default mold(/* fired */ 1 /* end */);",
    ],
    [
      "a line of comment about what stays",
      "export default mold(shrink(\n  // fired\n  1,\n  0.1,\n));",
      "export default mold(// fired\n  1);",
    ],
  ])("unwrap, %s", (_title, before, after) =>
    expect(write(there + before, unwrap, "shrink")).toEqual({ file: ENTRY, text: there + after }),
  );

  test("unwrap, spread arguments are refused", () =>
    expect(write(`${there}export default mold(shrink(...[1, 0.1]));`, unwrap, "shrink")).toMatchObject({
      refused: "edit-spread",
    }));

  test("unwrap, helper file", () =>
    expect(
      write(`import { make } from "./make";\nexport default make(1);`, unwrap, "shrink", {
        "make.ts": `${there}export const make = (b: number) => mold(shrink(b, 0.1));`,
      }),
    ).toEqual({ file: `${FOLDER}/make.ts`, text: `${there}export const make = (b: number) => mold(b);` }));
});
