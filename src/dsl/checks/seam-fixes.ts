import type { Fix } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import { adviseSeams } from "../mold/seam-advice.ts";
import { tenth } from "./numbers.ts";

/** Other seams as fixes, each with what it was measured to change: the undercut, or the draft where there is none. */
export function seamFixes(built: BuiltMold): Fix[] {
  return adviseSeams(built).map(({ kind, value, change, before, after }): Fix => {
    const frees = Math.round(before.undercutMm2) > Math.round(after.undercutMm2);
    return {
      title: frees ? `fix-seams-${kind}` : `fix-seams-${kind}-draft`,
      args: frees
        ? { value, before: Math.round(before.undercutMm2), after: Math.round(after.undercutMm2) }
        : { value, before: tenth(before.draftDeg), after: tenth(after.draftDeg) },
      change,
      ...(kind === "levels" && { lastResort: true }),
    };
  });
}
