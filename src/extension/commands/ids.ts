/** Commands by their id after `slabwright.`; the manifest says how each is called in menus. */
export const commandIds = [
  "showPreview",
  "exportMold",
  "checkDesign",
  "newDesign",
  "setUpFolder",
  "describeMold",
  "recordTestBars",
  "copyReport",
  "restartEngine",
  "showLog",
  "undoInDesign",
  "redoInDesign",
] as const;
export type CommandId = (typeof commandIds)[number];
