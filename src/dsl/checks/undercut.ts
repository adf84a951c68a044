import type { Finding, Note } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import type { UndercutPatch } from "../mold/model.ts";
import { angleOf, hundredth, tenth } from "./numbers.ts";
import { apart } from "./places.ts";
import { seamFixes } from "./seam-fixes.ts";
import { shapedBy } from "./shaped-by.ts";

/** The places that hold a part are told with the calls that shape them, so many of the deepest. */
const TOLD = 4;

/**
 * Clay that holds a part: an error deeper than leather-hard clay gives, a warning below. One a part, its
 * deepest place; each connected patch has its area, depth, height and angle in notes on what shapes it.
 */
export function undercut(built: BuiltMold): Finding[] {
  const { spec, model } = built;
  const limit = spec.limits.undercut;
  const holding = model.undercuts.filter((patch) => patch.verdict !== "free");
  const parts = [...new Set(holding.map((patch) => patch.part))];
  return parts.flatMap((part): Finding[] => {
    const patches = model.undercuts.filter((patch) => patch.part === part);
    const worst = patches.reduce((a, b) => (b.depthMm > a.depthMm ? b : a));
    const held = holding
      .filter((patch) => patch.part === part)
      .sort((a, b) => b.depthMm - a.depthMm || b.areaMm2 - a.areaMm2);
    const deep = worst.depthMm > limit;
    const area = patches.reduce((sum, patch) => sum + patch.areaMm2, 0);
    return [
      {
        code: "undercut",
        severity: deep ? "error" : "warning",
        ...variantOf(built, deep),
        args: {
          part,
          area: Math.round(area),
          depth: hundredth(worst.depthMm),
          z: Math.round(worst.at[2]),
          angle: angleOf(worst.at),
          limit,
        },
        target: { call: spec.seams.call >= 0 ? spec.seams.call : spec.call },
        fixes: seamFixes(built, "undercut"),
        mold: model.name,
        part,
        value: hundredth(worst.depthMm),
        limit,
        unit: "mm",
        at: worst.at,
        ...(held.length > 1 && { places: apart(held.map((patch) => patch.at)) }),
        notes: held.slice(0, TOLD).flatMap((patch, i) => notesOn(built, patch, i === 0)),
      },
    ];
  });
}

function variantOf({ spec }: BuiltMold, deep: boolean): { variant?: string } {
  if (spec.side === "inside") return { variant: deep ? "hump" : "shallow" };
  if (spec.seams.kind === "whole") return { variant: deep ? "whole" : "whole-shallow" };
  return deep ? {} : { variant: "shallow" };
}

/** The sections that shape a patch and, if asked for, the calls behind them, each with the patch's numbers. */
function notesOn(
  { spec, scale }: BuiltMold,
  { part, areaMm2, depthMm, at }: UndercutPatch,
  behind: boolean,
): Note[] {
  const args = {
    part,
    area: areaMm2 < 10 ? tenth(areaMm2) : Math.round(areaMm2),
    depth: hundredth(depthMm),
    z: Math.round(at[2]),
    angle: angleOf(at),
  };
  const { sections, outlines } = shapedBy(spec.body, at[2] / scale.cavity);
  return [...sections, ...(behind ? outlines : [])].map((target) => ({
    target,
    code: "note-undercut",
    args,
  }));
}
