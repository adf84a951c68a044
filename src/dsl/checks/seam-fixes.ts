import type { Finding, Fix, Lessening } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import { adviseSeams, type SeamAdvice } from "../mold/seam-advice.ts";
import { SURFACE } from "../tolerances.ts";
import { tenth } from "./numbers.ts";

/**
 * Other seams as fixes of a finding, each with what it was measured to change: the undercut, or the draft where there
 * is none. They are looked for when they are asked for, and not while a maker types.
 */
export function seamFixes(built: BuiltMold, code: Finding["code"]): Finding["fixes"] {
  if (built.model.build.tolerance >= SURFACE.typing) return [];
  return () => adviseSeams(built).map((advice) => fixOf(built, code, advice));
}

function fixOf({ spec, model }: BuiltMold, code: Finding["code"], advice: SeamAdvice): Fix {
  const { kind, value, change, before, after } = advice;
  const frees = Math.round(before.undercutMm2) > Math.round(after.undercutMm2);
  const lessens = frees
    ? code === "undercut" && after.undercutMm2 > FREE && lessUndercut(model.name, advice)
    : code === "draft-low" && after.draftDeg < spec.limits.draft && moreDraft(model.name, spec, advice);
  return {
    title: frees ? `fix-seams-${kind}` : `fix-seams-${kind}-draft`,
    args: frees
      ? { value, before: Math.round(before.undercutMm2), after: Math.round(after.undercutMm2) }
      : { value, before: tenth(before.draftDeg), after: tenth(after.draftDeg) },
    change,
    ...(kind === "levels" && { lastResort: true }),
    ...(lessens && { lessens }),
  };
}

/** An undercut of no more than this is none, mm². */
const FREE = 1;
/** An undercut that a fix lessens gets smaller by at least this share, and a draft larger by so much, degrees. */
const WORTH = { share: 0.05, draftDeg: 0.2 };

function lessUndercut(mold: string, { value, after: { undercutMm2 } }: SeamAdvice): Lessening {
  const areaOf = (found: readonly Finding[]) =>
    found
      .filter((one) => one.code === "undercut" && one.mold === mold)
      .reduce((sum, { args }) => sum + Number(args.area), 0);
  return {
    leaves: undercutMm2,
    told: (found, left) => {
      const [before, after] = [areaOf(found), areaOf(left)];
      return after <= (1 - WORTH.share) * before ? { value, before, after } : null;
    },
  };
}

function moreDraft(
  mold: string,
  { limits }: BuiltMold["spec"],
  { value, after: { draftDeg } }: SeamAdvice,
): Lessening {
  const draftOf = (found: readonly Finding[]) =>
    Math.min(
      limits.draft,
      ...found.flatMap((one) => (one.code === "draft-low" && one.mold === mold ? [one.value ?? -90] : [])),
    );
  return {
    leaves: limits.draft - draftDeg,
    told: (found, left) => {
      const [before, after] = [draftOf(found), draftOf(left)];
      return after >= before + WORTH.draftDeg ? { value, before, after } : null;
    },
  };
}
