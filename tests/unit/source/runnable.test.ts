import { describe, expect, test } from "vitest";
import { SourceError, SourceModule } from "../../../src/dsl/source/index.ts";
import { designOf, run, shown } from "../evaluate/run.ts";

describe("every character stays where it was", () => {
  test.each([
    `import { a as b, type T } from "slabwright";\nimport d, * as n from "./x";\nexport const c: number = b!;`,
    `export default function f<T>(x: T): T { return x }\nexport { f as g };`,
    `type É = "€😀";\nexport interface I { a: 1 }\nexport default (1 as unknown) as É;`,
    `#!/usr/bin/env node\nimport type { T } from "./t";\nlet x: T;\r\nexport default class { private y?: number }\r\n`,
    `export * from "./x"\nexport\n  default\n  3`,
  ])("%s", (text) => {
    const { body, prologueLength } = new SourceModule(text).runnable;
    const code = body.slice(prologueLength, prologueLength + text.length);
    expect(code).toHaveLength(text.length);
    const kept = code.replace(/\$\w+=/g, (name) => " ".repeat(name.length));
    for (let i = 0; i < text.length; i++)
      if (!/[\s;]/.test(kept[i])) expect([i, kept[i]]).toEqual([i, text[i]]);
    expect(code.split(/\r\n|[\n\r\u2028]/).map((line) => line.length)).toEqual(
      text.split(/\r\n|[\n\r\u2028]/).map((line) => line.length),
    );
  });
});

describe("imports and exports", () => {
  const other = `
    export const one = 1, { two, ...rest } = { two: 2, three: 3 };
    export let four = 4; four = 44;
    export function five() { return later; }
    export class Six { n = 6 }
    const seven = 7;
    export { seven as "se ven", seven as eight };
    export default { nine: 9 };
    const later = 5;
    export type Ten = number;
    interface Eleven { a: 1 }
    export { type Ten as T, Eleven };
  `;
  test.each([
    [`import { one, two, rest } from "./o"; export default [one, two, rest.three]`, [1, 2, 3]],
    [`import { four, five, Six } from "./o"; export default [four, five(), new Six().n]`, [44, 5, 6]],
    [`import { "se ven" as seven, eight } from "./o"; export default [seven, eight]`, [7, 7]],
    [`import d from "./o"; export default d.nine`, 9],
    [`import { default as d, type Ten } from "./o"; const n: Ten = 1; export default d.nine + n`, 10],
    [
      `import * as o from "./o"; export default Object.keys(o).sort().join()`,
      "Six,default,eight,five,four,one,rest,se ven,two",
    ],
    [`import { Eleven } from "./o"; const e: Eleven = { a: 1 }; export default e.a`, 1],
    [`import "./o"; export default 1`, 1],
    [`export { one as default } from "./o"`, 1],
    [`export * as inner from "./o"; export default 2`, 2],
    [`use(); function use() { return 1 }\nimport { one } from "./o"; export default one`, 1],
    [`export default function () { return 3 }`, "function"],
    [`export default class {}`, "function"],
    [`export default async () => 3`, "function"],
    [`const a = 1\nexport default a\n;(2)`, 1],
    [`const a = [1]\nexport { a }\n(2)\nexport default a[0]`, 1],
    [`export default (1, 2)`, 2],
    [`export\n/* x */ default /* y */ 4`, 4],
    [`export default f()\nfunction f() { return 5 }`, 5],
    [`export default g; function g() {}`, "function"],
  ])("%s", (text, expected) => {
    const { value } = designOf(text, { "o.ts": other });
    expect(typeof value === "function" ? "function" : value).toEqual(expected);
  });

  test("exports of passed modules, and their own", () => {
    const files = {
      "a.ts": `export * from "./o"; export { one as uno } from "./o"; export const one = 100;`,
      "o.ts": other,
    };
    expect(
      designOf(`import { one, uno, two } from "./a"; export default [one, uno, two]`, files).value,
    ).toEqual([100, 1, 2]);
  });

  test("a module runs once, however often it is imported", () => {
    const files = {
      "count.ts": `export const seen: number[] = []; seen.push(1);`,
      "b.ts": `export { seen } from "./count.js"`,
    };
    expect(
      designOf(
        `import { seen } from "./count"; import { seen as s } from "./b.ts"; export default [seen === s, seen.length]`,
        files,
      ).value,
    ).toEqual([true, 1]);
  });

  test("an import cannot be assigned to", () => {
    const { problem } = run(`import { one } from "./o";\n  one = 2;\nexport default one`, { "o.ts": other });
    expect([problem?.code, problem && shown(problem.place)]).toEqual(["thrown", "pot.mold.ts:2:3-2:10"]);
  });
});

describe("what does not parse or cannot run, at its place", () => {
  test.each([
    ["syntax", "let a = ;", "1:9-1:10", "This does not parse: unexpected token."],
    ["syntax", "mold(1 2)", "1:8-1:9", `This does not parse: unexpected token, expected ",".`],
    ["syntax", "const b = 'open", "1:11-1:12", "This does not parse: unterminated string constant."],
    ["syntax", "let a;\nlet a;", "2:5-2:6", "This does not parse: identifier 'a' has already been declared."],
    ["syntax", "return 3", "1:1-1:7", "This does not parse: 'return' outside of function."],
    ["syntax", "const x = {", "1:12-1:12", "This does not parse: unexpected token."],
    [
      "no-enum",
      "  enum Kind { A }",
      "1:3-1:18",
      "An enum needs more than its types taken away to run. Use a constant object: const Kind = {…}.",
    ],
    ["no-enum", "export const enum K { A }", "1:8-1:26", undefined],
    ["no-namespace", "\nnamespace N { export const a = 1 }", "2:1-2:35", undefined],
    ["no-parameter-property", "class A { constructor(private x: number) {} }", "1:23-1:40", undefined],
    ["no-angle-assertion", "const x = <any>y;", "1:11-1:17", undefined],
    [
      "no-top-level-await",
      "const x = await y;",
      "1:11-1:18",
      "A design runs in one go: there is no await outside of a function.",
    ],
    ["no-top-level-await", "for await (const x of y) ;", "1:1-1:27", undefined],
    ["no-import-equals", "import a = require('a');", "1:1-1:25", undefined],
    ["no-export-equals", "const a = 1;\nexport = a;", "2:1-2:12", undefined],
    ["no-dynamic-import", "const a = import('a');", "1:11-1:22", undefined],
    ["no-import-meta", "const a = import.meta.url;", "1:11-1:22", undefined],
    ["no-decorator", "@dec class A {}", "1:1-1:2", undefined],
    ["no-live-export", "export let n = 1;\nexport function add() { n++; }", "1:12-1:13", undefined],
    [
      "no-bare-default",
      "export default function () {}\n(1)",
      "1:1-1:15",
      "Give the exported function a name, or end it with a semicolon.",
    ],
    ["default-twice", "export default 1;\nexport default 2;", "2:1-2:18", undefined],
  ])("%s: %s", (code, text, range, message) => {
    const { problem } = run(text);
    expect([problem?.code, problem && shown(problem.place)]).toEqual([code, `pot.mold.ts:${range}`]);
    if (message !== undefined) expect(problem?.message).toBe(message);
  });

  test("types that go without a trace are no enum and no namespace", () => {
    const text = `declare enum K { A }\ndeclare namespace N { const a: number }\nabstract class P { abstract x(): void; declare y: 1 }\nexport default 1;`;
    expect(designOf(text).value).toBe(1);
  });

  test("columns count UTF-16 units, lines as an editor counts them", () => {
    const { problem } = run(`\uFEFF/* 😀 \u2028 */ let a = ;`);
    expect(problem && shown(problem.place)).toBe("pot.mold.ts:1:20-1:21");
  });

  test("in CRLF text", () => {
    const { problem } = run("const a = 1;\r\n\r\n  let b = ;\r\n");
    expect(problem && shown(problem.place)).toBe("pot.mold.ts:3:11-3:12");
  });

  test("the error of a text names no file", () => {
    expect(() => new SourceModule("let a = ;")).toThrow(SourceError);
  });
});
