import { expect, test } from "vitest";
import { slabwright, workshop } from "./fixture.ts";

const FILES = { "mug.mold.ts": "", "notes.txt": "", "folder.mold.ts/x": "" };

test.each([
  [[], "A command is missing"],
  [["press"], "There is no command “press”. Allowed: export, check, clay, new."],
  [["clay", "bars.csv"], "There is no file bars.csv"],
  [["clay", "bars.csv", "--out", "x"], "“clay” has no option --out. Allowed: --json."],
  [["export"], "FILE is missing"],
  [["check", "a", "b"], "takes one FILE, got 2: a, b"],
  [["export", "mug.mold.ts", "--form", "stl"], "--form"],
  [["export", "mug.mold.ts", "--out"], "--out"],
  [["check", "mug.mold.ts", "--out", "x"], "“check” has no option --out. Allowed: --time-limit, --json."],
  [["export", "mug.mold.ts", "--formats", "stl,obj"], "There is no format “obj”. Allowed: stl, 3mf."],
  [["export", "mug.mold.ts", "--formats", ""], "There is no format “”"],
  [["export", "mug.mold.ts", "--formats", "stl,pdf"], "does not write pdf yet. It writes stl, 3mf."],
  [
    ["check", "mug.mold.ts", "--time-limit", "soon"],
    "--time-limit is “soon”; it is a number of seconds from 1 to 120.",
  ],
  [["check", "mug.mold.ts", "--time-limit", "0"], "--time-limit is “0”"],
  [["export", "jug.mold.ts"], "There is no file jug.mold.ts"],
  [["export", "notes.txt"], "notes.txt is not a design"],
  [["check", "folder.mold.ts"], "folder.mold.ts is not a design"],
])("%j is wrong usage", async (words, sentence) => {
  using shop = workshop(FILES);
  // Asking for an engine would throw: none is even started.
  const { status, out, err } = await slabwright(words, { cwd: shop.cwd });
  expect({ status, out }).toEqual({ status: 2, out: "" });
  expect(err).toContain(sentence);
});

test.each([[["--help"]], [["help"]], [["export", "--help"]], [["-h"]]])(
  "%j shows the commands",
  async (words) => {
    const { status, out } = await slabwright(words, { cwd: "/" });
    expect(status).toBe(0);
    for (const command of ["export FILE", "check FILE", "clay BARS.csv", "new NAME"])
      expect(out).toContain(`slabwright ${command}`);
  },
);

test("--version names kit and version", async () => {
  expect(await slabwright(["--version"], { cwd: "/" })).toEqual({
    status: 0,
    out: "slabwright 0.1.0\n",
    err: "",
  });
});
