import type * as vscode from "vscode";
import type { Descriptions } from "./describe/documents.ts";
import type { Designs } from "./design/designs.ts";
import type { Engine } from "./engine.ts";
import type { Previews } from "./panel/previews.ts";
import type { Settings } from "./settings.ts";

/** What the extension is made of, for those who need more than one of it. */
export interface Parts {
  /** Where the extension is installed. */
  extension: vscode.Uri;
  log: vscode.LogOutputChannel;
  settings: Settings;
  engine: Engine;
  designs: Designs;
  previews: Previews;
  descriptions: Descriptions;
}
