import * as vscode from "vscode";
import assert from "node:assert/strict";
import { runTests, test } from "./runner.ts";

test("autosave is off", () => {
  assert.equal(vscode.workspace.getConfiguration("files").get("autoSave"), "off");
  return Promise.resolve();
});

export const run = (): Promise<void> => runTests();
