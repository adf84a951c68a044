import { describe, expect, test } from "vitest";
import { ENTRY, run, shown } from "./run.ts";

const problemOf = (...args: Parameters<typeof run>) => {
  const { problem, files } = run(...args);
  if (!problem) throw new Error("the design runs");
  const { code, message, place, related } = problem;
  return { code, message, at: shown(place), ...(related && { from: shown(related) }), files };
};

describe("what a design throws ends as one message", () => {
  test.each([
    ["an error", `\n  throw new Error("too\\n tall");`, "thrown", "Error: too tall", "2:9-2:32"],
    [
      "an error of its own kind",
      `class Tall extends Error { name = "Tall" }\nthrow new Tall("x");`,
      "thrown",
      "Tall: x",
      "2:7-2:20",
    ],
    ["an error without words", "throw new Error();", "thrown", "Error: no message", "1:7-1:18"],
    [
      "a missing property",
      "const x = null as any;\n x.y.z;",
      "thrown",
      "TypeError: Cannot read properties of null (reading 'y')",
      "2:4-2:5",
    ],
    ["a missing name", "  nothing();", "thrown", "ReferenceError: nothing is not defined", "1:3-1:12"],
    [
      "what other programs have",
      "process.exit();",
      "thrown",
      "ReferenceError: process is not defined",
      "1:1-1:8",
    ],
    ["a getter", "const o = { get x() { throw new Error('g'); } };\no.x;", "thrown", "Error: g", "1:29-1:43"],
    ["a number", "\n throw 3;", "thrown-value", "The design threw 3, which is not an Error.", "2:2-2:10"],
    ["a string", "throw 'no';", "thrown-value", "The design threw “no”, which is not an Error.", "1:1-1:12"],
    [
      "undefined",
      "throw undefined;",
      "thrown-value",
      "The design threw undefined, which is not an Error.",
      "1:1-1:17",
    ],
    [
      "an object",
      "throw { toString() { throw 1; } };",
      "thrown-value",
      "The design threw an object, which is not an Error.",
      "1:1-1:35",
    ],
    [
      "almost an error",
      "throw Object.create(Error.prototype);",
      "thrown-value",
      "The design threw an object, which is not an Error.",
      "1:1-1:38",
    ],
    [
      "a Proxy",
      "\nthrow new Proxy(new Error('x'), { get() { throw 1; } });",
      "thrown-value",
      "The design threw a Proxy, which is not an Error.",
      "2:1-2:57",
    ],
    [
      "an error whose message throws",
      "throw Object.defineProperty(new Error('x'), 'message', { get() { throw 1; } });",
      "thrown",
      "Error: no message",
      "1:29-1:43",
    ],
    [
      "an error whose stack throws",
      "const e = new Error('x');\nObject.defineProperty(e, 'stack', { get() { throw 1; } });\nthrow e;",
      "thrown",
      "Error: x",
      "1:11-1:25",
    ],
    [
      "calls without end",
      "const f = (): void => f();\nf();",
      "stack-overflow",
      "The calls go too deep: a function here calls itself without end.",
      "1:23-1:26",
    ],
  ])("%s", (_title, text, code, message, range) => {
    const { at, ...problem } = problemOf(text);
    expect(problem).toMatchObject({ code, message });
    expect(at).toBe(`pot.mold.ts:${range}`);
  });

  test.each([
    [
      "a getter of what is exported",
      "export default { get a() { throw new Error('late'); } };",
      "thrown",
      "1:34-1:51",
    ],
    ["a Proxy", "export default new Proxy({}, {});", "export-proxy", "1:16-1:33"],
    ["a Proxy in a list", "export default [1, new Proxy({}, {})];", "export-proxy", "1:16-1:38"],
  ])("exported: %s", (_title, text, code, range) => {
    expect(problemOf(text)).toMatchObject({ code, at: `pot.mold.ts:${range}` });
  });

  test("inside a helper: its line, and the line that called it", () => {
    const text = "function half(x: number) {\n  if (x > 1) throw new Error('large');\n}\nhalf(1);\n half(2);";
    expect(problemOf(text)).toMatchObject({ at: "pot.mold.ts:2:20-2:38", from: "pot.mold.ts:5:2-5:9" });
  });

  test("a number, inside a helper", () => {
    const text = "function f() {\n  throw 3;\n}\nf();\nexport default 1;";
    expect(problemOf(text)).toMatchObject({ at: "pot.mold.ts:2:3-2:11", from: "pot.mold.ts:4:1-4:4" });
  });

  test("inside another file", () => {
    const files = { "half.ts": "export const half = () => {\n  throw new Error('x');\n};" };
    expect(problemOf("import { half } from './half';\nhalf();", files)).toMatchObject({
      at: "half.ts:2:9-2:23",
      from: "pot.mold.ts:2:1-2:7",
    });
  });

  test("while another file is read", () => {
    const files = { "a.ts": "import './b';", "b.ts": "\n\nnull!.x;" };
    expect(problemOf("import './a';", files)).toMatchObject({ code: "thrown", at: "b.ts:3:7-3:8" });
  });

  test("an unknown option: its name", () => {
    const text = `import { mold } from "slabwright";\nexport default mold(1, {\n  wall: 3,\n  wal: 2 + 1,\n});`;
    expect(problemOf(text)).toMatchObject({
      code: "kit-unknown-key",
      message: "mold: there is no option “wal”. Allowed: wall, slab, flange.",
      at: "pot.mold.ts:4:3-4:6",
    });
  });

  test("an unknown option from a constant, in a helper", () => {
    const text = `import { mold } from "slabwright";\nconst opts = { wal: 2 };\nconst make = (n: number) =>\n  mold(n, opts);\nexport default make(1);`;
    expect(problemOf(text)).toMatchObject({ at: "pot.mold.ts:2:16-2:19", from: "pot.mold.ts:5:16-5:23" });
  });

  test("an unknown option that is spread in: the spread", () => {
    const text = `import { mold } from "slabwright";\nconst f = () => ({ wal: 2 });\nexport default mold(1, { ...f() });`;
    expect(problemOf(text)).toMatchObject({ at: "pot.mold.ts:3:26-3:32" });
  });

  test("nothing exported", () => {
    const text = `import { mold } from "slabwright";\nconst pot = 1;\nmold(pot);\n`;
    expect(problemOf(text)).toMatchObject({
      code: "no-default",
      message: "The design exports nothing. End it with export default mold(…).",
      at: "pot.mold.ts:3:1-3:11",
    });
    expect(problemOf("")).toMatchObject({ code: "no-default", at: "pot.mold.ts:1:1-1:1" });
    expect(problemOf("export default undefined;")).toMatchObject({
      code: "no-default",
      at: "pot.mold.ts:1:16-1:25",
    });
  });
});

describe("imports", () => {
  test.each([
    ["a package", `import fs from "node:fs";`, "import-package", "1:16-1:25"],
    ["an address", `import "https://localhost/x.ts";`, "import-package", "1:8-1:32"],
    ["an absolute path", `import "/designs/a.ts";`, "import-package", "1:8-1:23"],
    ["a folder outside", `\nimport { x } from "../other/x";`, "import-outside", "2:19-2:31"],
    ["a file that is not there", `import { x } from "./no";`, "import-not-found", "1:19-1:25"],
    [
      "a folder of the package that is not there",
      `import { x } from "@jscad/modeling/src/no";`,
      "import-package",
      "1:19-1:43",
    ],
    ["a file of another kind", `import x from "./notes.txt";`, "import-kind", "1:15-1:28"],
    [
      "a name that is not there",
      `import {\n  one,\n  tow,\n} from "./a";\ntow;`,
      "import-no-name",
      "3:3-3:6",
    ],
    [
      "a name of the kit that is not there",
      `import { mould } from "slabwright";\nmould();`,
      "import-no-name",
      "1:10-1:15",
    ],
    ["a passed name that is not there", `export { tow } from "./a";`, "import-no-name", "1:10-1:13"],
    ["no default", `import a from "./a";\na;`, "import-no-default", "1:8-1:9"],
    [
      "JSON that is none",
      `import a from "./bad.json";\nexport default a;`,
      "json-syntax",
      "bad.json:2:8-2:9",
    ],
  ])("%s", (_title, text, code, at) => {
    const files = { "a.ts": "export const one = 1, two = 2;", "notes.txt": "", "bad.json": `{\n  "a": }` };
    expect(problemOf(text, files)).toMatchObject({
      code,
      at: at.includes("json") ? at : `pot.mold.ts:${at}`,
    });
  });

  test("the sentences name what there is", () => {
    const files = { "a.ts": "export const one = 1, two = 2;" };
    expect(problemOf(`import { tow } from "./a"; tow;`, files).message).toBe(
      "“./a” exports no “tow”. It exports one, two. If it is a type, write import type.",
    );
    expect(problemOf(`import two from "./a"; two;`, files).message).toBe(
      "“./a” has no default export. Write import { two } from “./a”.",
    );
    expect(problemOf(`import "./no.js";`, files).message).toBe("“./no.js” is not there. Looked for no.ts.");
  });

  test("a circle is told where it closes", () => {
    const files = { "a.ts": `import "./b";`, "b.ts": `\nimport "./a";` };
    expect(problemOf(`import "./a";`, files)).toMatchObject({
      code: "import-circle",
      message: "This import leads back to where it came from: a.ts → b.ts → a.ts.",
      at: "b.ts:2:8-2:13",
    });
  });

  test("types may go in a circle", () => {
    const files = {
      "a.ts": `import type { T } from "./pot.mold";\nimport { type T as U } from "./pot.mold";\nexport const one: T | U = 1;`,
    };
    expect(
      run(`import { one } from "./a";\nexport type T = number;\nexport default one;`, files).design?.value,
    ).toBe(1);
  });

  test("what was looked for in vain is worth a new look when it appears", () => {
    expect(problemOf(`import "./no";`).files).toEqual([ENTRY, "/designs/no.ts", "/designs/no/index.ts"]);
  });

  test("an entry that is not there", () => {
    expect(problemOf("", {}, { entry: "/designs/other.mold.ts" })).toMatchObject({
      code: "file-unreadable",
      message: "other.mold.ts cannot be read: there is no such file.",
    });
  });
});
