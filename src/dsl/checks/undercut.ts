import type { Finding } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import { angleOf, hundredth } from "./numbers.ts";
import { seamFixes } from "./seam-fixes.ts";

/** Clay that holds a part: an error deeper than leather-hard clay gives, a warning below. One a part, its deepest place. */
export function undercut(built: BuiltMold): Finding[] {
  const { spec, model } = built;
  const limit = spec.limits.undercut;
  const holding = model.undercuts.filter((patch) => patch.verdict !== "free");
  const parts = [...new Set(holding.map((patch) => patch.part))];
  return parts.flatMap((part): Finding[] => {
    const patches = model.undercuts.filter((patch) => patch.part === part);
    const worst = patches.reduce((a, b) => (b.depthMm > a.depthMm ? b : a));
    const deep = worst.depthMm > limit;
    const area = patches.reduce((sum, patch) => sum + patch.areaMm2, 0);
    return [
      {
        code: "undercut",
        severity: deep ? "error" : "warning",
        ...(deep ? (spec.side === "inside" ? { variant: "hump" } : {}) : { variant: "shallow" }),
        args: {
          part,
          area: Math.round(area),
          depth: hundredth(worst.depthMm),
          z: Math.round(worst.at[2]),
          angle: angleOf(worst.at),
          limit,
        },
        target: { call: spec.seams.call >= 0 ? spec.seams.call : spec.call },
        fixes: seamFixes(built),
        mold: model.name,
        part,
        value: hundredth(worst.depthMm),
        limit,
        unit: "mm",
        at: worst.at,
      },
    ];
  });
}
