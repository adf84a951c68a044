import type { Finding } from "../../../shared/finding.ts";
import type { BuiltMold } from "../mold/build.ts";
import { angleOf } from "./numbers.ts";
import { seamFixes } from "./seam-fixes.ts";

/**
 * Parts that no straight move frees while the others are there: of a ring of parts that hold each
 * other, every one with those that it would run into.
 */
export function partLocked(built: BuiltMold): Finding[] {
  const { spec, model, opened } = built;
  const target = { call: spec.seams.call >= 0 ? spec.seams.call : spec.call };
  const walls = opened.stuck.filter(({ part }) => part !== "floor");
  return walls.map(({ part, by }): Finding => {
    const fixes = seamFixes(built);
    const base = { code: "part-locked", severity: "error", target, mold: model.name, part, fixes } as const;
    const area = Math.round(by.reduce((sum, hit) => sum + hit.areaMm2, 0));
    if (by.length === 0) {
      const others = list(walls.map((one) => one.part).filter((name) => name !== part));
      return { ...base, variant: "behind", args: { part, others }, value: 0, limit: 0, unit: "mm²" };
    }
    const worst = by.reduce((a, b) => (b.areaMm2 > a.areaMm2 ? b : a));
    return {
      ...base,
      ...(by.every((hit) => hit.part === "floor") ? { variant: "floor" } : {}),
      args: {
        part,
        others: list(by.map((hit) => (hit.part === "floor" ? "the floor" : hit.part))),
        area: Math.max(1, area),
        z: Math.round(worst.at[2]),
        angle: angleOf(worst.at),
      },
      value: area,
      limit: 0,
      unit: "mm²",
      at: worst.at,
      places: by.map((hit) => hit.at),
    };
  });
}

function list(names: readonly string[]): string {
  return names.length < 2 ? names.join() : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}
