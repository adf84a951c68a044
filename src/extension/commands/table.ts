import type { Parts } from "../parts.ts";
import { checkDesign } from "./checkDesign.ts";
import { copyReport } from "./copyReport.ts";
import { describeMold } from "./describeMold.ts";
import { exportMold } from "./exportMold.ts";
import type { CommandId } from "./ids.ts";
import { newDesign } from "./newDesign.ts";
import { recordTestBars } from "./recordTestBars.ts";
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
  describeMold,
  recordTestBars,
  copyReport,
  restartEngine: ({ engine }) => engine.restart(),
  showLog: ({ log }) => log.show(),
  undoInDesign: ({ previews }) => changeBack(previews, "undo"),
  redoInDesign: ({ previews }) => changeBack(previews, "redo"),
};
