import { openFindingHelp } from "../help.ts";
import type { Parts } from "../parts.ts";
import { checkDesign } from "./checkDesign.ts";
import { exportMold } from "./exportMold.ts";
import type { CommandId } from "./ids.ts";
import { newDesign } from "./newDesign.ts";
import { setUpFolder } from "./setUpFolder.ts";
import { changeBack } from "./changeBack.ts";
import { showPreview } from "./showPreview.ts";

export type { CommandId };

/** What each command does. All take the optional argument `{ uri, folder, formats }`. */
export const commands: Record<CommandId, (parts: Parts, argument: unknown) => unknown> = {
  showPreview,
  exportMold,
  checkDesign,
  newDesign,
  setUpFolder,
  restartEngine: ({ engine }) => engine.restart(),
  showLog: ({ log }) => log.show(),
  // Called by links of ours alone, with a code.
  openHelp: ({ extension }, code) => openFindingHelp(extension, String(code)),
  undoInDesign: ({ previews }) => changeBack(previews, "undo"),
  redoInDesign: ({ previews }) => changeBack(previews, "redo"),
};
