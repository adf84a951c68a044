import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { slabwright, workshop } from "./fixture.ts";

const FILES = {
  "examples/octagon-beaker.mold.ts": "// octagon",
  "examples/tasting-dish.mold.ts": "// dish",
  "examples/README.md": "",
  "pots/mug.mold.ts": "// mine",
};

const create = (cwd: string, ...words: string[]) =>
  slabwright(["new", ...words], { cwd, examples: join(cwd, "examples") });

test("writes the octagon beaker unless another template is named", async () => {
  using shop = workshop(FILES);
  expect(await create(shop.cwd, "cup")).toEqual({ status: 0, out: "cup.mold.ts\n", err: "" });
  expect(readFileSync(join(shop.cwd, "cup.mold.ts"), "utf8")).toBe("// octagon");
  expect(await create(shop.cwd, "pots/plate", "--from", "tasting-dish")).toMatchObject({
    status: 0,
    out: "pots/plate.mold.ts\n",
  });
  expect(readFileSync(join(shop.cwd, "pots/plate.mold.ts"), "utf8")).toBe("// dish");
});

test("a name may come with its ending", async () => {
  using shop = workshop(FILES);
  for (const name of ["a.mold.ts", "b.mold", "c.ts"]) await create(shop.cwd, name);
  expect(readdirSync(shop.cwd).filter((file) => file.endsWith(".ts"))).toEqual([
    "a.mold.ts",
    "b.mold.ts",
    "c.mold.ts",
  ]);
});

test("a design that is already there is left alone", async () => {
  using shop = workshop(FILES);
  const { status, out, err } = await create(shop.cwd, "pots/mug");
  expect({ status, out }).toEqual({ status: 1, out: "" });
  expect(err).toContain("pots/mug.mold.ts is already there and was left alone");
  expect(readFileSync(join(shop.cwd, "pots/mug.mold.ts"), "utf8")).toBe("// mine");
});

test.each([
  [["cup", "--from", "teapot"], "There is no template “teapot”. Allowed: octagon-beaker, tasting-dish."],
  [["two words"], "“two words” cannot be the name"],
  [[".mold.ts"], "cannot be the name"],
  [["nowhere/cup"], "There is no folder nowhere"],
])("new %j is wrong usage", async (words, sentence) => {
  using shop = workshop(FILES);
  const { status, err } = await create(shop.cwd, ...words);
  expect(status).toBe(2);
  expect(err).toContain(sentence);
});
