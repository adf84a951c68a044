import { KitError } from "./error.ts";
import { checkChoice, checkKeys, checkNumber, type Site } from "./options.ts";

/** Options of `mold` that stand for themselves: one at a time, in a design or among a workshop's defaults. */

export const MOLD_DEFAULTS = Object.freeze({
  slab: 6,
  wall: 3,
  side: "outside",
  stand: "foot",
  flange: Object.freeze({ width: 14, thickness: 4 }),
  bands: Object.freeze({ count: 2, width: 10, depth: 2 }),
  rim: Object.freeze({ width: 8 }),
  vents: Object.freeze({ size: 1.5, spacing: 40 }),
  limits: Object.freeze({ draft: 2, undercut: 0.5, stretch: 0.15, thinning: 0.25, grip: 0.3 }),
} as const);

export type BaseKind = "open" | "floor" | "closed" | "none";

export function checkSlab(site: Site, value: unknown): number | "solid" {
  if (value === "solid") return value;
  return checkNumber(site, "slab", value, { min: 1, max: 40, unit: "mm" });
}

export function checkWall(site: Site, value: unknown): number {
  return checkNumber(site, "wall", value, { min: 0.3, max: 20, unit: "mm" });
}

type Group = "flange" | "rim" | "bands" | "limits";

const BOUNDS: { [N in Group]: Record<keyof (typeof MOLD_DEFAULTS)[N], [number, number]> } = {
  flange: { width: [8, 60], thickness: [2, 20] },
  bands: { count: [0, 8], width: [2, 60], depth: [0.5, 10] },
  rim: { width: [0, 40] },
  limits: { draft: [0, 45], undercut: [0, 20], stretch: [0, 5], thinning: [0, 1], grip: [0, 20] },
};

/** A group of numbers, each with its least and most, laid over a workshop's defaults and over ours. */
export function checkPart<N extends Group>(
  site: Site,
  name: N,
  value: unknown,
  under: object = {},
): Record<keyof (typeof MOLD_DEFAULTS)[N], number> {
  const inner: Site = { ...site, path: [...(site.path ?? []), name] };
  const bounds = BOUNDS[name];
  const keys = Object.keys(bounds) as (keyof (typeof MOLD_DEFAULTS)[N] & string)[];
  const given = { ...MOLD_DEFAULTS[name], ...under, ...checkKeys(inner, value, keys) } as Record<
    string,
    unknown
  >;
  const result = {} as Record<keyof (typeof MOLD_DEFAULTS)[N], number>;
  for (const key of keys) {
    const [min, max] = bounds[key];
    result[key] = checkNumber(inner, key, given[key], { min, max, integer: key === "count" });
  }
  return result;
}

export function checkVents(site: Site, value: unknown): { size: number; spacing: number } | null {
  if (value === false) return null;
  const inner: Site = { ...site, path: [...(site.path ?? []), "vents"] };
  const given = { ...MOLD_DEFAULTS.vents, ...checkKeys(inner, value, ["size", "spacing"]) };
  return Object.freeze({
    size: checkNumber(inner, "size", given.size, { min: 0.5, max: 6, unit: "mm" }),
    spacing: checkNumber(inner, "spacing", given.spacing, { min: 10, max: 500, unit: "mm" }),
  });
}

/** `slab` is that of the walls, mm: a base without its own has the same. */
export function checkBase(
  site: Site,
  value: unknown,
  slab: number,
): { kind: BaseKind; join: "inside" | "under"; slab: number } {
  const inner: Site = { ...site, path: [...(site.path ?? []), "base"] };
  const word = typeof value === "string";
  const given = word ? { kind: value } : checkKeys(inner, value, ["kind", "join", "slab"]);
  const kind = checkChoice(word ? site : inner, word ? "base" : "kind", given.kind, [
    "open",
    "floor",
    "closed",
    "none",
  ]);
  const join =
    "join" in given && given.join !== undefined
      ? checkChoice(inner, "join", given.join, ["inside", "under"])
      : kind === "floor"
        ? "under"
        : "inside";
  const own =
    "slab" in given && given.slab !== undefined
      ? checkNumber(inner, "slab", given.slab, { min: 1, max: 40, unit: "mm" })
      : slab;
  return { kind, join, slab: own };
}

const NAME = /^[A-Za-z0-9][A-Za-z0-9_-]{0,59}$/;

export function isMoldName(value: unknown): value is string {
  return typeof value === "string" && NAME.test(value);
}

export function wrongOption(site: Site, key: string, allowed: string, value: string): KitError {
  const path = [...(site.path ?? []), key];
  return new KitError(
    "kit-wrong-type",
    { call: site.name, key: path.join("."), allowed, value },
    { call: site.call, argument: site.argument, path },
  );
}
