import type { CallId } from "../../../shared/place.ts";
import { barFault, type Bar } from "../clay/bars.ts";
import {
  compoundShrinkage,
  dryingShrinkage,
  remainingShrinkage,
  SHRINKAGE_BELOW,
  totalShrinkage,
} from "../clay/shrinkage.ts";
import { sampleOf } from "../clay/statistics.ts";
import { KitError } from "./error.ts";
import { asFraction, checkKeys, checkNumber, show, type Bounds, type Site } from "./options.ts";
import { keptWorkshop, recordCall } from "./record.ts";

/** A clay as the kit knows it. All shrinkages are linear fractions of the wet length, unless said. */
export interface Clay {
  readonly kind: "clay";
  readonly call: CallId;
  readonly name: string;
  /** Wet to fired. */
  readonly total: number;
  /** Wet to dry; null where only the total is known. */
  readonly drying: number | null;
  /** Dry to fired, of the dry length; null where only the total is known. */
  readonly firing: number | null;
  /** Wet to fired across the slab. */
  readonly thickness: number;
  /** Water in the plastic clay, of its wet mass. */
  readonly water: number;
  /** Loss on ignition, of the dry mass. */
  readonly loi: number;
  /** Share of the drying shrinkage that is over when the mold is opened. */
  readonly release: number;
  /** Number of test bars behind `total`; null where the maker stated it. */
  readonly n: number | null;
  /** Standard deviation of one bar; null with fewer than two bars. */
  readonly sd: number | null;
  /** Standard error of `total`; null with fewer than two bars. */
  readonly se: number | null;
}

export type ClayOptions = {
  name: string;
  thickness?: number;
  water?: number;
  loi?: number;
  release?: number;
} & (
  | { total: number }
  | { drying: number; firing: number }
  | { bars: readonly Bar[] }
  // A clay that `slabwright.json` keeps under this name.
  | object
);

export const CLAY_DEFAULTS = {
  /** Of the wet mass; pugged clay holds about 0.15–0.25 (practice). */
  water: 0.22,
  /** Of the dry mass (practice). */
  loi: 0.07,
  /** 0.3–0.5 of the drying is over when a mold is opened at leather-hard (practice). */
  release: 0.4,
};

const KEYS = ["name", "total", "drying", "firing", "bars", "thickness", "water", "loi", "release"] as const;
const SHRINKAGE: Bounds = { min: 0, below: SHRINKAGE_BELOW };

/** A fraction; a value from 1 on that would do as a percentage gets told so. */
function fraction(site: Site, key: string, value: unknown, bounds: Bounds): number {
  const most = 100 * (bounds.max ?? bounds.below ?? 1);
  if (typeof value === "number" && value >= 1 && value > (bounds.max ?? 0) && value <= most) {
    const path = [...(site.path ?? []), key];
    throw new KitError(
      "kit-looks-like-percent",
      { call: site.name, key: path.join("."), value: show(value), fraction: asFraction(value) },
      { call: site.call, argument: site.argument, path },
    );
  }
  return checkNumber(site, key, value, bounds);
}

function conflict(site: Site, reason: string, path: string[] = []): KitError {
  return new KitError(
    "kit-conflict",
    { call: site.name, reason },
    { call: site.call, argument: site.argument, path: [...(site.path ?? []), ...path] },
  );
}

function wrongType(site: Site, key: string, value: unknown, allowed: string): KitError {
  const path = [...(site.path ?? []), key];
  return new KitError(
    value === undefined ? "kit-missing" : "kit-wrong-type",
    {
      call: site.name,
      key: path.join("."),
      value: show(value),
      allowed: value === undefined ? `It is ${allowed}.` : allowed,
    },
    { call: site.call, argument: site.argument, path },
  );
}

function checkBars(site: Site, value: unknown): Bar[] {
  if (!Array.isArray(value) || value.length === 0)
    throw wrongType(site, "bars", value, "an array of at least one { wet, dry?, fired }");
  return (value as unknown[]).map((entry, index) => {
    const at: Site = { ...site, path: [...(site.path ?? []), "bars", String(index)] };
    if (entry === undefined || entry === null)
      throw wrongType(
        { ...site, path: [...(site.path ?? []), "bars"] },
        String(index),
        entry,
        "a { wet, dry?, fired }",
      );
    const given = checkKeys(at, entry, ["wet", "dry", "fired"]);
    const length = (key: "wet" | "dry" | "fired") =>
      checkNumber(at, key, given[key], { above: 0, unit: "mm" });
    const bar: Bar = { wet: length("wet"), fired: length("fired") };
    if (given.dry !== undefined) bar.dry = length("dry");
    const fault = barFault(bar);
    if (fault !== null) throw conflict(at, `bar ${index + 1}: ${fault}`);
    return Object.freeze(bar);
  });
}

type Shrinkages = Pick<Clay, "total" | "drying" | "firing" | "n" | "sd" | "se">;

function fromBars(bars: Bar[]): Shrinkages {
  const total = sampleOf(bars.map((bar) => totalShrinkage(bar.wet, bar.fired)));
  const dried = bars.flatMap((bar) => (bar.dry === undefined ? [] : [dryingShrinkage(bar.wet, bar.dry)]));
  const drying = dried.length > 0 ? sampleOf(dried).mean : null;
  return {
    total: total.mean,
    drying,
    // From the means, so that the three compound exactly.
    firing: drying === null ? null : remainingShrinkage(total.mean, drying),
    n: total.n,
    sd: total.sd,
    se: total.se,
  };
}

function shrinkagesOf(site: Site, given: Partial<Record<(typeof KEYS)[number], unknown>>): Shrinkages {
  const stated = { n: null, sd: null, se: null };
  const steps = given.drying !== undefined || given.firing !== undefined;
  const ways = [given.total !== undefined, steps, given.bars !== undefined].filter(Boolean).length;
  if (ways !== 1) {
    const what = ways === 0 ? "says nothing of shrinkage" : "says its shrinkage more than once";
    throw conflict(site, `the clay ${what}. Give total, or drying and firing, or bars.`);
  }
  if (given.bars !== undefined) return fromBars(checkBars(site, given.bars));
  if (!steps)
    return { ...stated, total: fraction(site, "total", given.total, SHRINKAGE), drying: null, firing: null };
  const drying = fraction(site, "drying", given.drying, SHRINKAGE);
  const firing = fraction(site, "firing", given.firing, SHRINKAGE);
  const total = compoundShrinkage(drying, firing);
  if (total >= SHRINKAGE_BELOW)
    throw conflict(
      site,
      `drying and firing come to ${total.toFixed(3)}; allowed is below ${SHRINKAGE_BELOW}.`,
    );
  return { ...stated, total, drying, firing };
}

/**
 * Checks the options of a clay, in a `clay` call or in a settings file, and gives the clay.
 * Shrinkage is said in one way: `total`; or `drying` (of the wet length) and `firing` (of the dry
 * length), which compound; or `bars`, whose mean total counts.
 */
export function checkClay(site: Site, options: unknown): Clay {
  const given = checkKeys(site, options, KEYS);
  if (typeof given.name !== "string" || given.name.trim() === "")
    throw wrongType(site, "name", given.name, "a name, such as “white stoneware”");
  const shrinkages = shrinkagesOf(site, given);
  const optional = (key: "thickness" | "water" | "loi" | "release", bounds: Bounds, byDefault: number) =>
    given[key] === undefined ? byDefault : fraction(site, key, given[key], bounds);
  return Object.freeze({
    kind: "clay" as const,
    call: site.call,
    name: given.name,
    ...shrinkages,
    thickness: optional("thickness", SHRINKAGE, shrinkages.total),
    water: optional("water", { min: 0, below: 0.5 }, CLAY_DEFAULTS.water),
    loi: optional("loi", { min: 0, below: 0.5 }, CLAY_DEFAULTS.loi),
    release: optional("release", { min: 0, max: 1 }, CLAY_DEFAULTS.release),
  });
}

/**
 * A clay and how it shrinks. Shrinkages are linear fractions from 0 to below 0.3; bars are lengths
 * in mm, of which `wet` and `fired` are needed. `thickness` (default: the total) is for shrinkage
 * across the slab, `water` (0.22) and `loi` (0.07) for masses, `release` (0.4) for how much of the
 * drying is over when the mold is opened. With nothing said of shrinkage the `name` is that of a
 * clay in `slabwright.json`. Nothing said, or said twice, throws.
 */
export function clay(options: ClayOptions): Clay {
  const call = recordCall("clay");
  const site: Site = { name: "clay", call, argument: 0 };
  const given = checkKeys(site, options, KEYS);
  const silent = given.total === undefined && given.drying === undefined && given.firing === undefined;
  const kept = typeof given.name === "string" ? keptWorkshop().clays.get(given.name) : undefined;
  if (!kept || !silent || given.bars !== undefined) return checkClay(site, options);
  // Its shrinkage is that of the kept clay; what else is said here wins.
  const { thickness, water, loi, release } = kept;
  const own = checkClay(site, { thickness, water, loi, release, ...given, total: kept.total });
  const { total, drying, firing, n, sd, se } = kept;
  return Object.freeze({ ...own, total, drying, firing, n, sd, se });
}
