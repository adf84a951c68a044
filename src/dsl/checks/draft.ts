import type { Finding } from "../../../shared/finding.ts";
import type { MoldSpec } from "../kit/mold.ts";
import { lowDraft } from "../leaving/draft.ts";
import type { BuiltMold } from "../mold/build.ts";
import { angleOf, tenth } from "./numbers.ts";
import { seamFixes } from "./seam-fixes.ts";

/** Parts whose draft is under the limit over a strip long enough to drag. An undercut part says so instead. */
export function draftLow(built: BuiltMold): Finding[] {
  const { spec, model, opening } = built;
  const limit = spec.limits.draft;
  return model.parts.flatMap((part): Finding[] => {
    const leaving = opening.parts.get(part.name);
    if (part.role !== "wall" || !leaving || part.undercutMm > 0) return [];
    const [worst] = lowDraft(leaving.clay, leaving.pull, limit);
    if (!worst) return [];
    return [
      {
        code: "draft-low",
        severity: "warning",
        ...variantOf(spec),
        args: {
          part: part.name,
          draft: tenth(worst.draftDeg),
          length: tenth(worst.lengthMm),
          z: Math.round(worst.at[2]),
          angle: angleOf(worst.at),
          limit,
        },
        target: { call: spec.seams.call >= 0 ? spec.seams.call : spec.call },
        fixes: seamFixes(built, "draft-low"),
        mold: model.name,
        part: part.name,
        value: tenth(worst.draftDeg),
        limit,
        unit: "°",
        at: worst.at,
      },
    ];
  });
}

function variantOf({ side, seams }: MoldSpec): { variant?: string } {
  if (side === "inside") return { variant: "hump" };
  return seams.kind === "whole" ? { variant: "whole" } : {};
}
