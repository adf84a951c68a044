import { expect, test } from "vitest";
import { fileName, fileNames } from "../../../src/dsl/output/names.ts";

test.each([
  ["octagon-beaker", "octagon-beaker"],
  ["Krügli 3", "Krügli-3"],
  ["../../etc/passwd", "etc-passwd"],
  ["a/b\\c:d", "a-b-c-d"],
  ["...", "mold"],
  ["", "mold"],
  ["CON", "CON-"],
  ["名前", "名前"],
])("%j is the file name %j", (name, expected) => expect(fileName(name, "mold")).toBe(expected));

test("names that one disk takes for the same are told apart", () => {
  expect(fileNames(["Jar", "jar", "jar-2", "lid"], "mold")).toEqual(["Jar", "jar-2", "jar-2-2", "lid"]);
});
