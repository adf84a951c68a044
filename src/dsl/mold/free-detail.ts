import type { Quality } from "../../../shared/engine.ts";
import type { ShellDetail } from "./free-shell.ts";

/** A body runs on behind its openings as far as the plastic around them, and this much more, mm. */
export const RUN_ON = 2;

/** How the shell around a body is contoured. */
export const SHELL: Record<Quality, ShellDetail> = {
  typing: { step: 0.75, more: 0.1, sag: 0.2, chord: 0.1 },
  idle: { step: 0.6, more: 0.04, sag: 0.03, chord: 0.01 },
  export: { step: 0.6, more: 0.04, sag: 0.03, chord: 0.01 },
};
