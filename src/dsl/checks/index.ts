import type { Finding } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import { bedOverflow } from "./bed.ts";
import { clayGrips } from "./clay-grips.ts";
import { cornerSharp } from "./corner-sharp.ts";
import { draftLow } from "./draft.ts";
import { keyLocked, keyNoRoom } from "./keys.ts";
import { oneEach } from "./one-each.ts";
import { overhang } from "./overhang.ts";
import { partLocked } from "./part-locked.ts";
import { reach } from "./reach.ts";
import { seamsFlat } from "./seams-flat.ts";
import { shrinkLater } from "./shrink-later.ts";
import { shrinkMissing, shrinkTwice } from "./shrink.ts";
import { slabCrowded } from "./slab-crowded.ts";
import { undercut } from "./undercut.ts";
import { wallThin } from "./wall.ts";

/** A check is pure: what a mold is, and what that will do at the bench. */
export type Check = (built: BuiltMold) => Finding[];

/** In the order in which a maker should read them. */
export const checks: readonly Check[] = [
  shrinkMissing,
  shrinkTwice,
  shrinkLater,
  undercut,
  partLocked,
  draftLow,
  clayGrips,
  keyLocked,
  keyNoRoom,
  slabCrowded,
  cornerSharp,
  reach,
  wallThin,
  overhang,
  bedOverflow,
  seamsFlat,
];

export function checkMold(built: BuiltMold): Finding[] {
  return oneEach(checks.flatMap((check) => check(built)));
}
