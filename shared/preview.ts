import type { LocatedFinding, Problem } from "./finding.ts";
import type { MoldView, ParamView } from "./engine.ts";

/** From the extension to the webview. Every message carries the build it speaks of. */
export type ToPreview =
  | {
      type: "show";
      build: number;
      design: string;
      molds: MoldView[];
      findings: LocatedFinding[];
      params: ParamView[];
      /** The design does not run: the last good picture stays, dimmed, under this sentence. */
      problem?: Problem;
    }
  | { type: "busy"; build: number };

/** From the webview to the extension. */
export type FromPreview =
  | { type: "ready" }
  /** The surfaces of this build are on the screen. */
  | { type: "painted"; build: number; triangles: number; milliseconds: number }
  | { type: "openPlace"; file: string; line: number; column: number }
  | { type: "fault"; message: string };
