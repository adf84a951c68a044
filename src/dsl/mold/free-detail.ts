import type { Quality } from "../../../shared/engine.ts";
import type { OffsetDetail } from "../solid/offset-surface.ts";
import type { ShellDetail } from "./free-shell.ts";

/** A body runs on behind its openings as far as the plastic around them, and this much more, mm. */
export const RUN_ON = 2;

export const SHELL: Record<Quality, ShellDetail> = {
  typing: { step: 0.75, more: 0.1, sag: 0.2, chord: 0.1 },
  idle: { step: 0.5, more: 0.04, sag: 0.03, chord: 0.01 },
  export: { step: 0.5, more: 0.04, sag: 0.03, chord: 0.01 },
};

/** The room inside is looked for in steps of this, mm, and simplified by that. */
export const ROOM: Record<Quality, OffsetDetail & { chord: number }> = {
  typing: { step: 3, sag: 0.5, chord: 0.3 },
  idle: { step: 2, sag: 0.05, chord: 0.02 },
  export: { step: 2, sag: 0.05, chord: 0.02 },
};
