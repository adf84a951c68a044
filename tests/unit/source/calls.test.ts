import { describe, expect, test } from "vitest";
import { designOf, ENTRY, FOLDER } from "../evaluate/run.ts";

/**
 * Each case marks names of calls with comments that hold a digit, and says which chains of them,
 * innermost first, the evaluation must have heard. Marks in `files` are letters.
 */
interface Case {
  title: string;
  text: string;
  files?: Record<string, string>;
  chains: string[];
}

const head = `import { loft, mold, profile, shrink } from "slabwright";\n`;

const cases: Case[] = [
  { title: "a plain call", text: "/*1*/loft([]);", chains: ["1"] },
  { title: "a member", text: "profile./*1*/circle({});", chains: ["1"] },
  { title: "a member over lines", text: "profile\n  .\n  /*1*/circle\n  ({});", chains: ["1"] },
  {
    title: "chained calls",
    text: "profile./*1*/circle({})./*2*/at(0)./*3*/at(1);",
    chains: ["1", "2", "3"],
  },
  {
    title: "chained over lines",
    text: "profile\n  ./*1*/circle({})\n  ./*2*/at(0)\n  ./*3*/at(1);",
    chains: ["1", "2", "3"],
  },
  {
    title: "nested arguments",
    text: "/*1*/mold(/*2*/shrink(/*3*/loft([profile./*4*/circle({})./*5*/at(0)]), 0.1), {});",
    chains: ["1", "2", "3", "4", "5"],
  },
  {
    title: "type arguments",
    text: "const id = <T,>(x: T): T => x;\nid<number>(3); /*1*/loft([] as unknown[]); (profile as any)./*2*/circle<string>({});",
    chains: ["1", "2"],
  },
  { title: "non-null", text: "profile!./*1*/circle!({})!./*2*/at!(0);", chains: ["1", "2"] },
  {
    title: "as and satisfies",
    text: "(/*1*/loft as any)([]); (loft satisfies unknown as any)(1);",
    chains: ["1"],
  },
  { title: "in brackets", text: "(/*1*/loft)([]);", chains: ["1"] },
  { title: "a member in brackets", text: "(profile./*1*/circle)({});", chains: ["1"] },
  { title: "optional", text: "profile?./*1*/circle?.({})?./*2*/at(0);", chains: ["1", "2"] },
  { title: "computed", text: `profile[/*1*/"circle"]({})[/*2*/"at"](0);`, chains: ["1", "2"] },
  {
    title: "spread",
    text: "/*1*/loft(...([[], {}] as const)); profile./*2*/circle(...[{}]);",
    chains: ["1", "2"],
  },
  { title: "spread before the last", text: `/*1*/mold(...[/*2*/loft([])], {});`, chains: ["1", "2"] },
  { title: "a comment with a bracket", text: "/*1*/loft /* ( */ // (\n ([]);", chains: ["1"] },
  { title: "a callback", text: "[0, 1]./*2*/map((z) => profile./*1*/circle({}));", chains: ["1 2"] },
  {
    title: "callbacks in callbacks",
    text: "[0]./*3*/map(() => [1]./*2*/map(function () { return /*1*/loft([]); }));",
    chains: ["1 2 3"],
  },
  {
    title: "a callback that the kit calls",
    text: "profile./*2*/polar((a) => { /*1*/loft([]); return a; });",
    chains: ["1 2", "2"],
  },
  { title: "an arrow called at once", text: "(/*2*/() => /*1*/loft([]))();", chains: ["1 2"] },
  {
    title: "a helper called twice",
    text: "function ring(d: number) { return profile./*1*/circle({ d }); }\n/*2*/ring(1);\n/*3*/ring(2);",
    chains: ["1 2", "1 3"],
  },
  {
    title: "a helper declared after its use",
    text: "/*2*/ring(); function ring() { return /*1*/loft([]); }",
    chains: ["1 2"],
  },
  {
    title: "a loop",
    text: "for (let i = 0; i < 3; i++) profile./*1*/circle({});",
    chains: ["1"],
  },
  {
    title: "an imported helper",
    text: `import { ring } from "./rings";\n/*1*/ring(2);`,
    files: {
      "rings.ts": `import { profile as p } from "slabwright";\nexport const ring = (d: number) => p./*a*/circle({ d })./*b*/at(0);`,
    },
    chains: ["a 1", "b 1"],
  },
  {
    title: "an imported module's own calls",
    text: `import foot from "./foot.ts";\n/*1*/loft([foot]);`,
    files: { "foot.ts": `import * as kit from "slabwright";\nexport default kit.profile./*a*/circle({});` },
    chains: ["a", "1"],
  },
  {
    title: "a method, a getter, a field",
    text: "class Pot { body = /*1*/loft([]); get foot() { return /*3*/loft([1]); } lid() { return /*4*/loft([2]); } }\nconst pot = new /*2*/Pot(); pot.foot; pot./*5*/lid();",
    chains: ["1 2", "3", "4 5"],
  },
  { title: "a default value", text: "const f = (x = /*1*/loft([])) => x; /*2*/f();", chains: ["1 2"] },
  { title: "a template", text: "`${/*1*/loft([]).name}`;", chains: ["1"] },
  { title: "in a condition", text: "(true ? /*1*/loft([]) : 0) || /*2*/loft([]);", chains: ["1"] },
  {
    title: "non-ASCII before it",
    text: "const größe = '😀 €'; profile./*1*/circle({ größe });",
    chains: ["1"],
  },
  {
    title: "types with non-ASCII",
    text: "type É = '€😀'; const x: É = '€😀'; /*1*/loft([x]);",
    chains: ["1"],
  },
  { title: "the exported value", text: "", chains: ["default"] },
];

const markedText = (text: string) => head + text + "\nexport default /*default*/mold(0);\n";

/** Every way in which a text can come, as a change of the text that leaves the marks. */
const dresses: [string, (text: string) => string][] = [
  ["as written", (text) => text],
  ["CRLF", (text) => text.replace(/\n/g, "\r\n")],
  ["byte order mark", (text) => "\uFEFF" + text],
  ["non-ASCII first", (text) => "/* glaze: émail, 釉薬, 😀 */ " + text],
  ["a line separator first", (text) => "/* \u2028 */ " + text],
];

/** Offsets of the marked names: after the mark, or at the computed key behind it. */
function marks(text: string, file: string): Map<string, string> {
  const found = new Map<string, string>();
  const clean = text.replace(/^\uFEFF/, "");
  for (const match of clean.matchAll(/\/\*(\w+)\*\//g))
    found.set(`${file}@${match.index + match[0].length}`, match[1]);
  return found;
}

describe.each(dresses)("calls of a text, %s", (_name, dress) => {
  test.each(cases)("$title", ({ text, files = {}, chains }) => {
    const entry = dress(markedText(text));
    const dressed = Object.fromEntries(
      Object.entries(files).map(([name, content]) => [name, dress(content)]),
    );
    const { calls } = designOf(entry, dressed);
    const names = marks(entry, ENTRY);
    for (const [name, content] of Object.entries(dressed))
      for (const [at, mark] of marks(content, `${FOLDER}/${name}`)) names.set(at, mark);
    const heard = Array.from({ length: calls.size }, (_, call) =>
      calls
        .chainOf(call)
        .map(({ file, offset }) => names.get(`${file}@${offset}`) ?? "?")
        .join(" "),
    );
    for (const chain of chains) expect(heard).toContain(chain);
    // A loop and a helper give as many calls as there are chains, and no more.
    expect(new Set(heard).size).toBe(heard.length);
  });
});

test("the table holds at least 49 frames", () => {
  const frames = cases.flatMap(({ chains }) => chains.flatMap((chain) => chain.split(" ")));
  expect(frames.length).toBeGreaterThanOrEqual(49);
});
