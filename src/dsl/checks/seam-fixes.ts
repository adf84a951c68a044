import type { Finding, Fix, MessageArgs } from "../../../shared/finding.ts";
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
  const last = kind === "levels" && ({ lastResort: true } as const);
  if (Math.round(before.undercutMm2) > Math.round(after.undercutMm2)) {
    const stays = code === "undercut" && after.undercutMm2 > FREE;
    return {
      title: `fix-seams-${kind}`,
      args: { value, before: Math.round(before.undercutMm2), after: Math.round(after.undercutMm2) },
      change,
      told: (found, left) => lessUndercut(model.name, advice, found, left),
      ...last,
      ...(stays && { leaves: after.undercutMm2 }),
    };
  }
  const stays = code === "draft-low" && after.draftDeg < spec.limits.draft;
  return {
    title: `fix-seams-${kind}-draft`,
    args: { value, before: tenth(before.draftDeg), after: tenth(after.draftDeg) },
    change,
    told: (found, left) => moreDraft(model.name, advice, found, left),
    ...last,
    ...(stays && { leaves: spec.limits.draft - after.draftDeg }),
  };
}

/** An undercut of no more than this is none, mm². */
const FREE = 1;
/** An undercut that a fix lessens gets smaller by at least this share, and a draft larger by so much, degrees. */
const WORTH = { share: 0.05, draftDeg: 0.2 };

const undercutIn = (mold: string, findings: readonly Finding[]): number =>
  findings
    .filter((one) => one.code === "undercut" && one.mold === mold)
    .reduce((sum, { args }) => sum + Number(args.area), 0);

function lessUndercut(
  mold: string,
  { value }: SeamAdvice,
  found: readonly Finding[],
  left: readonly Finding[],
): MessageArgs | null {
  const [before, after] = [undercutIn(mold, found), undercutIn(mold, left)];
  return after < (1 - WORTH.share) * before ? { value, before, after } : null;
}

/** Where no draft is too low any more, it is what it was measured to be. */
function moreDraft(
  mold: string,
  advice: SeamAdvice,
  found: readonly Finding[],
  left: readonly Finding[],
): MessageArgs | null {
  if (undercutIn(mold, left) > undercutIn(mold, found)) return null;
  const draftOf = (findings: readonly Finding[], otherwise: number) => {
    const low = findings.filter((one) => one.code === "draft-low" && one.mold === mold);
    return low.length > 0 ? Math.min(...low.map(({ value = -90 }) => value)) : tenth(otherwise);
  };
  const before = draftOf(found, advice.before.draftDeg);
  const after = draftOf(left, advice.after.draftDeg);
  return after >= before + WORTH.draftDeg ? { value: advice.value, before, after } : null;
}
