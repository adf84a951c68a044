import { closest, distance } from "fastest-levenshtein";
import type { CallId } from "../../../shared/place.ts";
import { KitError } from "./error.ts";

/** A call under check: its name as written, its id, and which argument holds the options. */
export interface Site {
  name: string;
  call: CallId;
  argument: number;
  /** Keys from the argument inwards, for nested options. */
  path?: string[];
  /** What the numbers of a point are called, where `path` leads to one of a list of points. */
  axes?: readonly string[];
}

export interface Bounds {
  min?: number;
  max?: number;
  /** The bound itself is not allowed. */
  above?: number;
  below?: number;
  integer?: boolean;
  unit?: "mm" | "°" | "";
}

const target = (site: Site, key?: string) => ({
  call: site.call,
  argument: site.argument,
  path: key === undefined ? (site.path ?? []) : [...(site.path ?? []), key],
});

const keyName = ({ path = [], axes }: Site, key: string) =>
  axes ? `${axes[Number(key)]} of point ${Number(path.at(-1)) + 1}` : [...path, key].join(".");

/** What the kit's own values are called, by their tag. */
const KIT_VALUES = new Map([
  ["Outline", "an outline"],
  ["Section", "an outline at a height"],
  ["Body", "a body"],
  ["Clay", "a clay"],
  ["Split", "a split"],
  ["Key", "a key"],
  ["Cutter", "a cutter"],
  ["Mold", "a mold"],
]);

const tagOf = (value: object): string => Object.prototype.toString.call(value).slice(8, -1);

/** A value as a maker would recognize it, short. */
export function show(value: unknown): string {
  if (typeof value === "string") return `“${value.length > 40 ? value.slice(0, 39) + "…" : value}”`;
  if (typeof value === "number" || typeof value === "boolean" || value === null || value === undefined)
    return String(value);
  if (typeof value === "function") return "a function";
  if (Array.isArray(value)) return `an array of ${value.length}`;
  if (typeof value === "object") return KIT_VALUES.get(tagOf(value)) ?? "an object";
  return typeof value;
}

/** What was meant as per cent, as a fraction without the dust of the division. */
export const asFraction = (percent: number): string => String(Number((percent / 100).toPrecision(12)));

export function showBounds(bounds: Bounds): string {
  const unit = bounds.unit ? ` ${bounds.unit}` : "";
  const low =
    bounds.above !== undefined
      ? `above ${bounds.above}`
      : bounds.min !== undefined
        ? `at least ${bounds.min}`
        : "";
  const high =
    bounds.below !== undefined
      ? `below ${bounds.below}`
      : bounds.max !== undefined
        ? `at most ${bounds.max}`
        : "";
  const range = [low, high].filter(Boolean).join(" and ") || "any finite number";
  return (bounds.integer ? `a whole number ${range}` : range) + unit;
}

/** Of the letters of a word no more than this share is mistyped. */
const MOST_MISTYPED = 0.4;

/** What may stand in place of a key that is not known: the one that it may be a slip of, and all. */
export function allowedKeys(key: string, keys: readonly string[]): string {
  const all = `Allowed: ${keys.join(", ")}.`;
  if (keys.length === 0) return all;
  const near = closest(key.toLowerCase(), keys);
  const mistyped = distance(key.toLowerCase(), near.toLowerCase()) / Math.max(key.length, near.length);
  return mistyped <= MOST_MISTYPED ? `Did you mean “${near}”? ${all}` : all;
}

/** The options as an object, with every key known. */
export function checkKeys<K extends string>(
  site: Site,
  options: unknown,
  keys: readonly K[],
): Partial<Record<K, unknown>> {
  if (options === undefined) return {};
  if (typeof options !== "object" || options === null || Array.isArray(options)) {
    throw new KitError(
      "kit-wrong-type",
      {
        call: site.name,
        key: (site.path ?? []).join(".") || "the options",
        value: show(options),
        allowed: `an object with ${keys.join(", ")}`,
      },
      target(site),
    );
  }
  for (const key of Object.keys(options)) {
    if (!(keys as readonly string[]).includes(key)) {
      throw new KitError(
        "kit-unknown-key",
        { call: site.name, key: keyName(site, key), allowed: allowedKeys(key, keys) },
        { ...target(site, key), ofKey: true },
      );
    }
  }
  return options;
}

/** A finite number within its bounds. `key` names an option, or with `asArgument` an argument. */
export function checkNumber(
  site: Site,
  key: string,
  value: unknown,
  bounds: Bounds,
  asArgument = false,
): number {
  const at = asArgument ? target(site) : target(site, key);
  const args = { call: site.name, key: asArgument ? key : keyName(site, key), value: show(value) };
  if (value === undefined)
    throw new KitError("kit-missing", { ...args, allowed: `It is ${showBounds(bounds)}.` }, at);
  if (typeof value !== "number" || !Number.isFinite(value)) throw new KitError("kit-not-a-number", args, at);
  const { min = -Infinity, max = Infinity, above = -Infinity, below = Infinity, integer } = bounds;
  if (
    value < min ||
    value > max ||
    value <= above ||
    value >= below ||
    (integer && !Number.isInteger(value))
  ) {
    throw new KitError("kit-out-of-range", { ...args, allowed: showBounds(bounds) }, at);
  }
  return value;
}

/** One of a fixed set of words. */
export function checkChoice<const T extends string>(
  site: Site,
  key: string,
  value: unknown,
  allowed: readonly T[],
): T {
  if (typeof value === "string" && (allowed as readonly string[]).includes(value)) return value as T;
  throw new KitError(
    "kit-wrong-type",
    {
      call: site.name,
      key: keyName(site, key),
      value: show(value),
      allowed: allowed.map((word) => `“${word}”`).join(" or "),
    },
    target(site, key),
  );
}

export function checkFlag(site: Site, key: string, value: unknown): boolean {
  if (typeof value === "boolean") return value;
  throw new KitError(
    "kit-wrong-type",
    { call: site.name, key: keyName(site, key), value: show(value), allowed: "true or false" },
    target(site, key),
  );
}
