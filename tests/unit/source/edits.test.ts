import { describe, expect, test } from "vitest";
import type { Change } from "../../../shared/change.ts";
import { applyEdits } from "../../../src/dsl/source/index.ts";
import { designOf, ENTRY, FOLDER } from "../evaluate/run.ts";

const HEAD = `import { loft, mold } from "slabwright";\n`;

type Wish = Change extends infer C ? (C extends { call: unknown } ? Omit<C, "call"> : never) : never;

const wall = (value = 3): Wish => ({ kind: "setOption", argument: 1, path: ["wall"], value });

/** Writes a change of the first call of `of` into the texts; gives the edited text, or the refusal. */
function write(text: string, wish: Wish, of = "mold", files: Record<string, string> = {}) {
  const design = designOf(text, files);
  const { calls } = design;
  const call = Array.from({ length: calls.size }, (_, id) => id).find((id) => calls.nameOf(id) === of);
  const written = design.editsFor({ ...wish, call: call ?? -1 });
  if ("refusal" in written) {
    const { code, message, place } = written.refusal;
    return { refused: code, message, line: place?.line };
  }
  const file = written.edits[0].file;
  expect(new Set(written.edits.map((one) => one.file)).size).toBe(1);
  return { file, text: applyEdits(design.texts.get(file) ?? "", written.edits) };
}

/** The change as it must come out: `|before| → |after|`, both below the same first line. */
function expectEdit(before: string, wish: Wish, after: string, of?: string) {
  expect(write(HEAD + before, wish, of)).toEqual({ file: ENTRY, text: HEAD + after });
}

describe("a value that stands in the call", () => {
  test.each([
    ["a number", "export default mold(1, { wall: 2 });", "export default mold(1, { wall: 3 });"],
    ["minus a number", "export default mold(1, { wall: -2 });", "export default mold(1, { wall: 3 });"],
    ["a string", `export default mold(1, { wall: "thin" });`, "export default mold(1, { wall: 3 });"],
    [
      "with a type",
      "export default mold(1, { wall: 2 as number });",
      "export default mold(1, { wall: 3 as number });",
    ],
    ["in brackets", "export default mold(1, { wall: (2) });", "export default mold(1, { wall: (3) });"],
    [
      "under a quoted key",
      `export default mold(1, { "wall": 2 });`,
      `export default mold(1, { "wall": 3 });`,
    ],
    ["undefined", "export default mold(1, { wall: undefined });", "export default mold(1, { wall: 3 });"],
    [
      "an object of literals",
      "export default mold(1, { wall: { a: [1, -2] } });",
      "export default mold(1, { wall: 3 });",
    ],
    [
      "the last of two",
      "export default mold(1, { ...{}, wall: 2 });",
      "export default mold(1, { ...{}, wall: 3 });",
    ],
    [
      "beside a comment",
      "export default mold(1, { wall: 2 /* thin */ });",
      "export default mold(1, { wall: 3 /* thin */ });",
    ],
    [
      "behind non-ASCII",
      `export default mold("€😀", { name: "é", wall: 2 });`,
      `export default mold("€😀", { name: "é", wall: 3 });`,
    ],
  ])("%s", (_title, before, after) => expectEdit(before, wall(), after));

  test("inside an option", () =>
    expectEdit(
      "export default mold(1, { flange: { width: 14 } });",
      { kind: "setOption", argument: 1, path: ["flange", "width"], value: 18 },
      "export default mold(1, { flange: { width: 18 } });",
    ));

  test("in CRLF text", () =>
    expect(
      write(
        `import { mold } from "slabwright";\r\nexport default mold(1, {\r\n  wall: 2,\r\n});\r\n`,
        wall(),
      ),
    ).toEqual({
      file: ENTRY,
      text: `import { mold } from "slabwright";\r\nexport default mold(1, {\r\n  wall: 3,\r\n});\r\n`,
    }));
});

describe("a value that comes from a constant", () => {
  test.each([
    [
      "used once",
      "const w = 2;\nexport default mold(1, { wall: w });",
      "const w = 3;\nexport default mold(1, { wall: w });",
    ],
    [
      "shorthand",
      "const wall = 2;\nexport default mold(1, { wall });",
      "const wall = 3;\nexport default mold(1, { wall });",
    ],
    [
      "of a constant",
      "const a = 2;\nconst b: number = a;\nexport default mold(1, { wall: b });",
      "const a = 3;\nconst b: number = a;\nexport default mold(1, { wall: b });",
    ],
    [
      "options in a constant",
      "const o = { wall: 2 };\nexport default mold(1, o);",
      "const o = { wall: 3 };\nexport default mold(1, o);",
    ],
    [
      "key absent there",
      "const o = { slab: 6 };\nexport default mold(1, o);",
      "const o = { slab: 6, wall: 3 };\nexport default mold(1, o);",
    ],
    [
      "another of that name elsewhere",
      "const w = 2;\nconst f = (w: number) => w + w;\nexport default mold(f(1), { wall: w });",
      "const w = 3;\nconst f = (w: number) => w + w;\nexport default mold(f(1), { wall: w });",
    ],
  ])("%s", (_title, before, after) => expectEdit(before, wall(), after));

  test.each([
    [
      "used twice",
      "const w = 2;\nloft(w);\nexport default mold(1, { wall: w });",
      "edit-value-shared",
      2,
      "The value comes from “w”, line 2, which is used 2 times.",
    ],
    [
      "options used twice",
      "const o = { wall: 2 };\nloft(o);\nexport default mold(1, o);",
      "edit-value-shared",
      2,
      "The value comes from “o”, line 2, which is used 2 times.",
    ],
    [
      "exported",
      "export const w = 2;\nexport default mold(1, { wall: w });",
      "edit-value-from",
      2,
      "The value comes from “w”, line 2.",
    ],
    [
      "let",
      "let w = 2;\nexport default mold(1, { wall: w });",
      "edit-value-from",
      2,
      "The value comes from “w”, line 2.",
    ],
    [
      "a parameter",
      "const f = (\n  opts: any,\n) => mold(1, opts);\nexport default f({ wall: 2 });",
      "edit-value-from",
      3,
      "The value comes from “opts”, line 3.",
    ],
    [
      "destructured",
      "const { w } = { w: 2 };\nexport default mold(1, { wall: w });",
      "edit-value-from",
      2,
      "The value comes from “w”, line 2.",
    ],
  ])("refused: %s", (_title, before, refused, line, message) =>
    expect(write(HEAD + before, wall())).toEqual({ refused, line, message }),
  );
});

describe("a value that cannot be had", () => {
  test.each([
    [
      "computed",
      "export default mold(1, { wall: 1 + 1 });",
      "edit-value-computed",
      "The value is computed, line 2.",
    ],
    [
      "a member",
      "const s = { w: 2 };\nexport default mold(1, {\n  wall: s.w,\n});",
      "edit-value-computed",
      "The value is computed, line 4.",
    ],
    [
      "a template with a value",
      "export default mold(1, { wall: `${1}` });",
      "edit-value-computed",
      "The value is computed, line 2.",
    ],
    [
      "options computed",
      "export default mold(1, Object.assign({}));",
      "edit-value-computed",
      "The value is computed, line 2.",
    ],
    [
      "spread, key absent",
      "const opts = {};\nexport default mold(1, { ...opts });",
      "edit-spread",
      "The value may come from “opts”, line 3.",
    ],
    [
      "spread behind the key",
      "const opts = {};\nexport default mold(1, { wall: 2, ...opts });",
      "edit-spread",
      "The value may come from “opts”, line 3.",
    ],
    [
      "spread arguments",
      "const all = [1, {}] as const;\nexport default mold(...all);",
      "edit-spread",
      "The value may come from “all”, line 3.",
    ],
    [
      "a computed key",
      "const k = 'slab';\nexport default mold(1, { [k]: 2 });",
      "edit-value-computed",
      "The value is computed, line 3.",
    ],
    [
      "a getter",
      "export default mold(1, { get wall() { return 2; } });",
      "edit-value-computed",
      "The value is computed, line 2.",
    ],
  ])("%s", (_title, before, refused, message) =>
    expect(write(HEAD + before, wall())).toMatchObject({ refused, message }),
  );

  test("from another file", () => {
    const files = { "sizes.ts": "export const w = 2;" };
    expect(
      write(
        `import { w } from "./sizes";\n${HEAD}export default mold(1, { wall: w });`,
        wall(),
        "mold",
        files,
      ),
    ).toEqual({
      refused: "edit-value-import",
      line: 1,
      message: "The value of “w” comes from “./sizes”.",
    });
  });

  test("a call that no design made", () =>
    expect(write(HEAD + "export default mold(1);", wall(), "nothing")).toMatchObject({
      refused: "edit-no-call",
    }));

  test("an argument that is too far on", () =>
    expect(write(HEAD + "export default mold();", wall())).toMatchObject({
      refused: "edit-no-argument",
      message: "The call has no argument 2.",
    }));

  test("a number without a literal", () =>
    expect(write(HEAD + "export default mold(1, { wall: 2 });", wall(NaN))).toMatchObject({
      refused: "edit-no-literal",
    }));
});

describe("a key that is absent", () => {
  test.each([
    ["one line", "export default mold(1, { slab: 6 });", "export default mold(1, { slab: 6, wall: 3 });"],
    ["tight", "export default mold(1, {slab: 6});", "export default mold(1, {slab: 6, wall: 3});"],
    [
      "trailing comma",
      "export default mold(1, { slab: 6, });",
      "export default mold(1, { slab: 6, wall: 3, });",
    ],
    ["empty", "export default mold(1, {});", "export default mold(1, { wall: 3 });"],
    ["empty with a blank", "export default mold(1, { });", "export default mold(1, { wall: 3 });"],
    ["empty over lines", "export default mold(1, {\n});", "export default mold(1, {\n  wall: 3,\n});"],
    [
      "empty with a comment",
      "export default mold(1, { /* none */ });",
      "export default mold(1, { wall: 3, /* none */ });",
    ],
    [
      "lines",
      "export default mold(1, {\n    slab: 6,\n});",
      "export default mold(1, {\n    slab: 6,\n    wall: 3,\n});",
    ],
    [
      "lines, no trailing comma",
      "export default mold(1, {\n  slab: 6\n});",
      "export default mold(1, {\n  slab: 6,\n  wall: 3\n});",
    ],
    [
      "tabs",
      "export default mold(1, {\n\tslab: 6,\n});",
      "export default mold(1, {\n\tslab: 6,\n\twall: 3,\n});",
    ],
    [
      "a comment at the end",
      "export default mold(1, {\n  slab: 6, // wet\n});",
      "export default mold(1, {\n  slab: 6, // wet\n  wall: 3,\n});",
    ],
    [
      "a comment, no comma",
      "export default mold(1, {\n  slab: 6 // wet\n});",
      "export default mold(1, {\n  slab: 6, // wet\n  wall: 3\n});",
    ],
  ])("%s", (_title, before, after) => expectEdit(before, wall(), after));

  test("inside an option that is absent too", () =>
    expectEdit(
      "export default mold(1, { slab: 6 });",
      { kind: "setOption", argument: 1, path: ["flange", "width"], value: 18 },
      "export default mold(1, { slab: 6, flange: { width: 18 } });",
    ));

  test("no options at all", () =>
    expectEdit("export default mold(1);", wall(), "export default mold(1, { wall: 3 });"));

  test("no options, arguments on lines", () =>
    expectEdit("export default mold(\n  1,\n);", wall(), "export default mold(\n  1, { wall: 3 },\n);"));

  test("no arguments", () =>
    expectEdit(
      "loft();\nexport default mold(1);",
      { kind: "setOption", argument: 0, path: ["side"], value: "straight" },
      `loft({ side: "straight" });\nexport default mold(1);`,
      "loft",
    ));

  test("in the quotes of the file", () =>
    expect(
      write(`import { mold } from 'slabwright'\nexport default mold(1, { name: 'a' })`, {
        kind: "setPrinter",
        name: "it's",
      }),
    ).toEqual({
      file: ENTRY,
      text: `import { mold } from 'slabwright'\nexport default mold(1, { name: 'a', printer: 'it\\'s' })`,
    }));

  test("in CRLF text", () =>
    expect(
      write(`import { mold } from "slabwright";\r\nexport default mold(1, {\r\n  slab: 6,\r\n});`, wall()),
    ).toMatchObject({
      text: `import { mold } from "slabwright";\r\nexport default mold(1, {\r\n  slab: 6,\r\n  wall: 3,\r\n});`,
    }));
});

describe("an argument", () => {
  const two = (value: number): Wish => ({ kind: "setArgument", argument: 1, value });
  test.each([
    ["a literal", "loft(1, 2);\nexport default mold(1);", "loft(1, 5);\nexport default mold(1);"],
    [
      "a constant",
      "const n = 2;\nloft(1, n);\nexport default mold(1);",
      "const n = 5;\nloft(1, n);\nexport default mold(1);",
    ],
    ["absent", "loft(1);\nexport default mold(1);", "loft(1, 5);\nexport default mold(1);"],
    [
      "absent, the first in brackets",
      "loft((1));\nexport default mold(1);",
      "loft((1), 5);\nexport default mold(1);",
    ],
  ])("%s", (_title, before, after) => expectEdit(before, two(5), after, "loft"));

  test("in a helper's file", () => {
    const files = { "foot.ts": `import { loft } from "slabwright";\nexport const foot = () => loft(1, 2);` };
    expect(
      write(
        `import { foot } from "./foot";\nimport { mold } from "slabwright";\nexport default mold(foot());`,
        two(5),
        "loft",
        files,
      ),
    ).toEqual({
      file: `${FOLDER}/foot.ts`,
      text: `import { loft } from "slabwright";\nexport const foot = () => loft(1, 5);`,
    });
  });
});

describe("wrap and unwrap", () => {
  const wrap: Wish = { kind: "wrap", argument: 0, name: "shrink", args: [0.125] };
  const wraps = (before: string, after: string) =>
    expect(write(before, wrap)).toEqual({ file: ENTRY, text: after });

  test("with the import there", () =>
    wraps(
      `import { mold, shrink } from "slabwright";\nexport default mold(1, {});`,
      `import { mold, shrink } from "slabwright";\nexport default mold(shrink(1, 0.125), {});`,
    ));
  test("under another name", () =>
    wraps(
      `import { mold, shrink as grow } from "slabwright";\nexport default mold(1);`,
      `import { mold, shrink as grow } from "slabwright";\nexport default mold(grow(1, 0.125));`,
    ));
  test("through a namespace", () =>
    wraps(
      `import * as kit from "slabwright";\nexport default kit.mold(1);`,
      `import * as kit from "slabwright";\nexport default kit.mold(kit.shrink(1, 0.125));`,
    ));
  test("a sorted import stays sorted", () =>
    wraps(
      `import { loft, mold, profile } from "slabwright";\nexport default mold(loft(profile));`,
      `import { loft, mold, profile, shrink } from "slabwright";\nexport default mold(shrink(loft(profile), 0.125));`,
    ));
  test("in the middle of a sorted import", () =>
    expect(
      write(
        `import { mold, split } from "slabwright";\nexport default mold(1);`.replace("split", "type Split"),
        wrap,
      ),
    ).toMatchObject({
      text: `import { mold, shrink, type Split } from "slabwright";\nexport default mold(shrink(1, 0.125));`,
    }));
  test("an import over lines", () =>
    wraps(
      `import {\n  mold,\n  loft,\n} from "slabwright";\nexport default mold(loft(1));`,
      `import {\n  mold,\n  loft,\n  shrink,\n} from "slabwright";\nexport default mold(shrink(loft(1), 0.125));`,
    ));
  test("no import of the kit in the file of the call", () => {
    const files = { "kit.ts": `export { mold } from "slabwright";` };
    expect(write(`import { mold } from './kit'\nexport default mold(1)\n`, wrap, "mold", files)).toEqual({
      file: ENTRY,
      text: `import { mold } from './kit'\nimport { shrink } from 'slabwright'\nexport default mold(shrink(1, 0.125))\n`,
    });
  });
  test("types alone are imported", () =>
    wraps(
      `import type { Body } from "slabwright";\nimport { mold as m } from "slabwright";\nexport default m(1 as unknown as Body);`,
      `import type { Body } from "slabwright";\nimport { mold as m, shrink } from "slabwright";\nexport default m(shrink(1 as unknown as Body, 0.125));`,
    ));
  test("the name is taken", () =>
    expect(
      write(`import { mold } from "slabwright";\nconst shrink = 1;\nexport default mold(shrink);`, wrap),
    ).toEqual({
      refused: "edit-name-taken",
      line: 3,
      message: "“shrink” already means something else where the call is.",
    }));
  test("the name is hidden near the call", () =>
    expect(
      write(
        `import { mold, shrink } from "slabwright";\nconst f = (shrink: number) => mold(shrink);\nexport default f(1);`,
        wrap,
      ),
    ).toMatchObject({ refused: "edit-name-taken", line: 2 }));
  test("spread", () =>
    expect(write(HEAD + "export default mold(...[1]);", wrap)).toMatchObject({
      refused: "edit-spread",
      line: 2,
    }));

  const unwrap: Wish = { kind: "unwrap", argument: 0 };
  const shrunk = `import { mold, shrink } from "slabwright";\n`;
  test.each([
    [
      "a name",
      "const b = 1;\nexport default mold(shrink(b, 0.1), {});",
      "const b = 1;\nexport default mold(b, {});",
    ],
    [
      "over lines",
      "export default mold(\n  shrink(\n    [1],\n    0.1,\n  ),\n);",
      "export default mold(\n  [1],\n);",
    ],
    [
      "what binds loosely",
      "export default mold(shrink(true ? 1 : 2, 0.1));",
      "export default mold((true ? 1 : 2));",
    ],
    ["in brackets already", "export default mold(shrink((1, 2), 0.1));", "export default mold((1, 2));"],
  ])("unwrap %s", (_title, before, after) =>
    expect(write(shrunk + before, unwrap, "shrink")).toEqual({ file: ENTRY, text: shrunk + after }),
  );
});

test("edits come in the order of the text and do not overlap", () => {
  const design = designOf(HEAD + "export default mold(1, {\n  slab: 6 // wet\n});");
  const written = design.editsFor({ kind: "wrap", call: 0, argument: 0, name: "shrink", args: [0.1] });
  if ("refusal" in written) throw new Error(written.refusal.message);
  for (const [i, edit] of written.edits.entries()) {
    expect(edit.start).toBeLessThanOrEqual(edit.end);
    if (i > 0) expect(edit.start).toBeGreaterThanOrEqual(written.edits[i - 1].end);
  }
});
