import * as vscode from "vscode";
import assert from "node:assert/strict";
import { copyFile, mkdir, mkdtemp, readFile, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import {
  findingOn,
  findingsOn,
  inWorkspace,
  nothingFoundOn,
  openDesign,
  replaceAll,
  showPreview,
} from "./design.ts";
import { test, until } from "./runner.ts";

/** What TypeScript itself says of a file. */
function typeErrors(uri: vscode.Uri): vscode.Diagnostic[] {
  return vscode.languages.getDiagnostics(uri).filter(({ source }) => source === "ts");
}

function hoversAt(uri: vscode.Uri, position: vscode.Position): Thenable<vscode.Hover[]> {
  return vscode.commands.executeCommand<vscode.Hover[]>("vscode.executeHoverProvider", uri, position);
}

const textOf = (hovers: vscode.Hover[]) =>
  hovers
    .flatMap(({ contents }) => contents.map((one) => (typeof one === "string" ? one : one.value)))
    .join("\n")
    // Blanks of plain text, as they stand in Markdown.
    .replaceAll("&nbsp;", " ");

const positionOf = (document: vscode.TextDocument, words: string, into = 1) => {
  const at = document.getText().indexOf(words);
  assert.ok(at >= 0, words);
  return document.positionAt(at + into);
};

test("lenses over the export preview, export, and say what was found", async () => {
  const { document } = await openDesign("no-shrink.mold.ts");
  await findingOn(document.uri, "shrink-missing");
  const lenses = () =>
    vscode.commands.executeCommand<vscode.CodeLens[]>("vscode.executeCodeLensProvider", document.uri, 20);
  const titles = await until("the lens tells of the error", async () => {
    const shown = (await lenses()).map((lens) => lens.command?.title ?? "");
    return shown.some((title) => /1 error/.test(title)) && shown;
  });
  assert.ok(titles.includes("Preview") && titles.includes("Export"), titles.join(", "));
  const settings = vscode.workspace.getConfiguration("slabwright");
  await settings.update("codeLens", false, vscode.ConfigurationTarget.Workspace);
  try {
    await until("the lenses are gone", async () => {
      return !(await lenses()).some((lens) => lens.command?.title === "Preview");
    });
  } finally {
    await settings.update("codeLens", undefined, vscode.ConfigurationTarget.Workspace);
  }
});

test("hints give the wet length behind a fired one, for whoever switches them on", async () => {
  const { document } = await openDesign("octagon-beaker.mold.ts");
  const all = new vscode.Range(0, 0, document.lineCount, 0);
  const hints = async () =>
    (
      await vscode.commands.executeCommand<vscode.InlayHint[]>(
        "vscode.executeInlayHintProvider",
        document.uri,
        all,
      )
    )
      .map(({ label }) => (typeof label === "string" ? label : label.map(({ value }) => value).join("")))
      .filter((label) => /wet/.test(label));
  await showPreview(document.uri);
  assert.deepEqual(await hints(), []);
  const settings = vscode.workspace.getConfiguration("slabwright");
  await settings.update("inlayHints", true, vscode.ConfigurationTarget.Workspace);
  try {
    const shown = await until("hints come", async () => {
      const found = await hints();
      return found.length > 0 && found;
    });
    // 62, 80 and 104 mm through 1 − 0.125.
    assert.deepEqual(shown, ["→ 70.9 mm wet", "→ 91.4 mm wet", "→ 118.9 mm wet"]);
  } finally {
    await settings.update("inlayHints", undefined, vscode.ConfigurationTarget.Workspace);
  }
});

test("fix all makes one fix after another, as one edit and one undo, also on saving", async () => {
  const editor = await openDesign("no-shrink.mold.ts");
  const { document } = editor;
  await findingOn(document.uri, "shrink-missing");
  const before = document.getText();
  const twice = before.replace("mold(beaker, {", "mold(beaker, {\n  wall: 0.5,");
  assert.notEqual(twice, before);
  await replaceAll(editor, twice);
  await findingOn(document.uri, "wall-thin");
  const action = await until("fix all is offered", async () => {
    const [first] = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      "vscode.executeCodeActionProvider",
      document.uri,
      new vscode.Range(0, 0, 0, 0),
      "source.fixAll.slabwright",
      5,
    );
    return first;
  });
  assert.ok(action.edit);
  assert.ok(await vscode.workspace.applyEdit(action.edit));
  assert.match(document.getText(), /mold\(shrink\(beaker, 0\.\d+\)/);
  assert.doesNotMatch(document.getText(), /wall: 0\.5/);
  await nothingFoundOn(document.uri);
  await vscode.commands.executeCommand("undo");
  assert.equal(document.getText(), twice, "one undo brings the text back");

  const onSave = vscode.workspace.getConfiguration("editor", document);
  await onSave.update(
    "codeActionsOnSave",
    { "source.fixAll.slabwright": "explicit" },
    vscode.ConfigurationTarget.Workspace,
  );
  try {
    assert.ok(await document.save());
    assert.match(document.getText(), /mold\(shrink\(beaker/, "cured while it was saved");
  } finally {
    await onSave.update("codeActionsOnSave", undefined, vscode.ConfigurationTarget.Workspace);
    await replaceAll(editor, before);
    await document.save();
  }
});

test("the code of a finding leads to its page, rendered", async () => {
  const { document } = await openDesign("no-shrink.mold.ts");
  const missing = await findingOn(document.uri, "shrink-missing");
  assert.ok(typeof missing.code === "object", "the code has a target");
  const { target } = missing.code;
  assert.match(target.path, /\/docs\/findings\/shrink-missing\.md$/);
  await vscode.commands.executeCommand("vscode.open", target);
  await until("the page is shown, rendered", () => {
    const tabs = vscode.window.tabGroups.all.flatMap((group) => group.tabs);
    return tabs.some(
      ({ input }) => input instanceof vscode.TabInputCustom && /markdown/.test(input.viewType),
    );
  });
});

test("a folder is set up on a click, its design is then read without a complaint", async () => {
  // Outside of this project, whose own package would answer to the kit's name.
  const folder = await mkdtemp(join(tmpdir(), "slabwright-set-up-"));
  const uri = vscode.Uri.file(join(folder, "beaker.mold.ts"));
  await copyFile(inWorkspace("octagon-beaker.mold.ts").fsPath, uri.fsPath);
  const document = await vscode.workspace.openTextDocument(uri);
  await vscode.window.showTextDocument(document);
  const missing = await until("TypeScript misses the kit", () => {
    return typeErrors(uri).find(({ code }) => Number(typeof code === "object" ? code.value : code) === 2307);
  });
  const setUp = await until("the set-up is offered on the red import", async () => {
    const offered = await vscode.commands.executeCommand<vscode.CodeAction[]>(
      "vscode.executeCodeActionProvider",
      uri,
      missing.range,
      vscode.CodeActionKind.QuickFix.value,
      20,
    );
    return offered.find(({ command }) => command?.command === "slabwright.setUpFolder");
  });
  const made = await vscode.commands.executeCommand<{ folder: string; written: string[]; settings: string }>(
    "slabwright.setUpFolder",
    ...((setUp.command?.arguments ?? []) as unknown[]),
  );
  assert.equal(made.folder, folder);
  assert.equal(made.settings, "written");
  for (const name of made.written) assert.ok((await readFile(join(folder, name))).length > 50, name);
  await until("the import is no longer red", () => typeErrors(uri).length === 0);
  assert.deepEqual(findingsOn(uri), []);
  const types = await until("TypeScript knows the options", async () => {
    const text = textOf(await hoversAt(uri, positionOf(document, "acrossFlats: 62")));
    return /acrossFlats/.test(text) && text;
  });
  assert.match(types, /number/);
});

test("settings of TypeScript that are there are shown what to add, and not touched", async () => {
  const folder = await mkdtemp(join(tmpdir(), "slabwright-set-up-"));
  const mine = '{ "compilerOptions": { "strict": false } } // mine\n';
  await writeFile(join(folder, "tsconfig.json"), mine);
  const made = await vscode.commands.executeCommand<{ settings: string }>("slabwright.setUpFolder", {
    folder,
  });
  assert.equal(made.settings, "shown");
  assert.equal(await readFile(join(folder, "tsconfig.json"), "utf8"), mine);
  const shown = await until("the lines are shown", () =>
    vscode.window.visibleTextEditors.find(
      ({ document }) => document.languageId === "jsonc" && document.isUntitled,
    ),
  );
  assert.match(shown.document.getText(), /"slabwright": \["\.\/\.slabwright\/types\/slabwright\.d\.ts"\]/);
  await vscode.window.showTextDocument(shown.document);
  await vscode.commands.executeCommand("workbench.action.revertAndCloseActiveEditor");
});

test("a file of the maker's own among the types is left alone", async () => {
  const folder = await mkdtemp(join(tmpdir(), "slabwright-set-up-"));
  const file = join(folder, ".slabwright", "types", "slabwright.d.ts");
  await mkdir(join(folder, ".slabwright", "types"), { recursive: true });
  await writeFile(file, "export const mine = 1;\n");
  const made = await vscode.commands.executeCommand("slabwright.setUpFolder", { folder });
  assert.equal(made, undefined);
  assert.equal(await readFile(file, "utf8"), "export const mine = 1;\n");
});

test("a hover over mold and over the body says what was computed, fired and wet", async () => {
  const { document } = await openDesign("octagon-beaker.mold.ts");
  await showPreview(document.uri);
  for (const words of ["mold(shrink", "shrink(beaker", "loft(["]) {
    const said = await until(`a hover on ${words}`, async () => {
      const text = textOf(await hoversAt(document.uri, positionOf(document, words)));
      return /fired/.test(text) && text;
    });
    assert.match(said, /104/, "the fired height");
    assert.match(said, /119|118\.9/, "the wet height");
    assert.match(said, /least draft/);
    assert.match(said, /cm²/);
  }
  const elsewhere = textOf(await hoversAt(document.uri, positionOf(document, "profile.polygon", 10)));
  assert.doesNotMatch(elsewhere, /least draft/);
});
