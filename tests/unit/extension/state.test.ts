import { expect, test } from "vitest";
import type { Place } from "../../../shared/place.ts";
import { nothingYet, shiftState, type DesignState } from "../../../src/extension/design/state.ts";

const place = (line: number, file = "f"): Place => ({ file, line, column: 1, endLine: line, endColumn: 5 });
const finding = (line: number, related?: Place) => ({
  code: "undercut" as const,
  severity: "error" as const,
  args: {},
  message: "",
  fixes: [],
  place: place(line),
  ...(related && { related }),
});

const note = (line: number) => ({ code: "note-undercut", args: {}, message: "", place: place(line) });

const state: DesignState = {
  ...nothingYet,
  findings: [
    finding(2),
    { ...finding(9, place(9)), notes: [note(1), note(10)] },
    { ...finding(9), place: place(9, "g") },
  ],
  params: [{ name: "h", value: 1, min: 0, max: 2, step: 1, writable: true, place: place(8) }],
  calls: [{ call: 0, name: "loft", chain: [place(7), place(9, "g")], lights: [] }],
  problem: { code: "syntax", message: "", place: place(6) },
};

test("everything that stands below an edit moves with it, in that file and no other", () => {
  const at = { line: 3, character: 0 };
  const moved = shiftState(state, { file: "f", edits: [{ start: at, end: at, text: "one\ntwo\n" }] });
  expect(moved.findings.map((one) => one.place.line)).toEqual([2, 11, 9]);
  expect(moved.findings[1].related?.line).toBe(11);
  expect(moved.findings[1].notes?.map((note) => note.place.line)).toEqual([1, 12]);
  expect(moved.params[0].place.line).toBe(10);
  expect(moved.calls[0].chain.map(({ line }) => line)).toEqual([9, 9]);
  expect(moved.problem?.place.line).toBe(8);
  expect(state.findings[1].place.line).toBe(9);
});

test("a part of a state keeps its shape", () => {
  const none = { file: "f", edits: [] };
  expect(shiftState({ params: state.params, calls: state.calls }, none)).toEqual({
    params: state.params,
    calls: state.calls,
  });
  expect(shiftState(nothingYet, none)).toEqual(nothingYet);
});
