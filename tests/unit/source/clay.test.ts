import { describe, expect, it } from "vitest";
import { applyEdits, SourceModule, writeClay } from "../../../src/dsl/source/index.ts";

const bars = [
  { wet: 100, fired: 88.1 },
  { wet: 100, dry: 94, fired: 87.8 },
];

function written(text: string, name = "White stoneware") {
  const clay = writeClay(new SourceModule(text), { name, bars });
  if (!clay) return undefined;
  const { edits, constant, used } = clay;
  return {
    text: applyEdits(
      text,
      edits.map((edit) => ({ file: "", ...edit })),
    ),
    constant,
    used,
  };
}

describe("a measured clay in a design", () => {
  it("stands below the imports, is imported, and the one shrink takes it", () => {
    const text = `import { loft, mold, shrink } from "slabwright";

export default mold(shrink(loft([]), 0.125));
`;
    expect(written(text)).toEqual({
      constant: "whiteStoneware",
      used: true,
      text: `import { clay, loft, mold, shrink } from "slabwright";

const whiteStoneware = clay({
  name: "White stoneware",
  bars: [
    { wet: 100, fired: 88.1 },
    { wet: 100, dry: 94, fired: 87.8 },
  ],
});

export default mold(shrink(loft([]), whiteStoneware));
`,
    });
  });

  it("keeps the file's own style", () => {
    const text = "import {clay, shrink} from 'slabwright'\r\n\r\nexport default shrink(x, 0.1)\r\n";
    expect(written(text, "Rot")?.text).toBe(
      "import {clay, shrink} from 'slabwright'\r\n\r\nconst rot = clay({\r\n  name: 'Rot',\r\n  bars: [\r\n" +
        "    {wet: 100, fired: 88.1},\r\n    {wet: 100, dry: 94, fired: 87.8},\r\n  ],\r\n})\r\n\r\n" +
        "export default shrink(x, rot)\r\n",
    );
  });

  it("is only declared where several shrinks, or none by a number, might be meant", () => {
    const two = 'import { shrink } from "slabwright";\nshrink(a, 0.1);\nshrink(b, 0.12);\n';
    expect(written(two)).toMatchObject({ used: false });
    const own = 'import { shrink } from "slabwright";\nshrink(a, mine);\n';
    expect(written(own)?.text).toContain("shrink(a, mine)");
    const other = 'import { shrink } from "./mine.ts";\nshrink(a, 0.1);\n';
    expect(written(other)).toMatchObject({ used: false });
  });

  it("follows a constant to the shrink that uses it", () => {
    const text = 'import { shrink } from "slabwright";\nconst s = 0.12;\nexport default shrink(a, s);\n';
    expect(written(text)?.text).toContain("shrink(a, whiteStoneware)");
  });

  it("takes a name that is free and a name at all", () => {
    const text = 'import { shrink } from "slabwright";\nconst whiteStoneware = 1;\n';
    expect(written(text)?.constant).toBe("whiteStoneware2");
    expect(written(text, "class")?.constant).toBe("class2");
    expect(written(text, "2 % Grog")?.constant).toBe("clay2Grog");
    expect(written(text, "粘土")?.constant).toBe("clay2");
    expect(written(text, "Ton “rot”")?.constant).toBe("tonRot");
  });

  it("is not written where clay means something else", () => {
    expect(written("const clay = 3;\nexport default clay;\n")).toBeUndefined();
  });

  it("begins a text without imports", () => {
    expect(written("export default 1;\n")?.text).toMatch(
      /^import \{ clay \} from "slabwright";\nconst whiteStoneware = clay\(\{\n/,
    );
  });
});
