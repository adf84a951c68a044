import { expect, test } from "vitest";
import type { BuildRequest } from "../../../shared/engine.ts";
import { stoppedProblem } from "../../../src/dsl/engine/stopped.ts";

const entry = "/designs/pot.mold.ts";
const request = (text: string): BuildRequest => ({
  type: "build",
  id: 1,
  entry,
  root: "/designs",
  overlays: { [entry]: text },
  overrides: {},
  quality: "typing",
  have: [],
  fixes: false,
});
const frame = (file: string, line: number) => ({ file, line, column: 1 });

test("where the host does not let a program be looked into: the export, and the sentence says so", () => {
  const text = `import { mold } from "slabwright";\r\nfor (;;) ;\r\nexport default mold(1);\r\n`;
  const problem = stoppedProblem("time-limit", { seconds: 10 }, request(text), [entry], null);
  expect(problem).toEqual({
    code: "time-limit",
    args: { seconds: 10 },
    message:
      "The design ran for 10 s and was stopped; where it was is not known, since this host does not let a running program be looked into.",
    place: { file: entry, line: 3, column: 1, endLine: 3, endColumn: 24 },
  });
});

test("without an export, the first line", () => {
  const { place, message } = stoppedProblem(
    "memory-limit",
    { limit: 9 },
    request("  let a;\nx"),
    [entry],
    null,
  );
  expect(place).toEqual({ file: entry, line: 1, column: 3, endLine: 1, endColumn: 9 });
  expect(message).toBe(
    "The design used more than 9 MB of memory and was stopped; where it was is not known.",
  );
});

test("the innermost line of the design, not of the kit that it called", () => {
  const text = "const a = '\u2028';\n  kit(() => 1);\n";
  const frames = [frame("/kit/engine.mjs", 9), frame(entry, 3), frame("/kit/engine.mjs", 8), frame(entry, 1)];
  // A line separator begins a line for JavaScript and none for an editor.
  expect(stoppedProblem("time-limit", { seconds: 1 }, request(text), [entry], frames).place).toEqual({
    file: entry,
    line: 2,
    column: 3,
    endLine: 2,
    endColumn: 16,
  });
});
