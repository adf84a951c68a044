import type { CallId } from "../../../shared/place.ts";
import { KitError } from "./error.ts";
import { checkChoice, checkKeys, checkNumber } from "./options.ts";
import { recordCall } from "./record.ts";

export const KEY_DEFAULTS = Object.freeze({
  shape: "dome",
  size: 8,
  spacing: 40,
  clearance: 0.2,
  land: 6.5,
} as const);

export interface KeyOptions {
  /** "dome" (a spherical cap) or "cone" (a frustum). Default "dome". */
  shape?: "dome" | "cone" | "ridge";
  /** Diameter at the seam face, mm. Default 8. */
  size?: number;
  /** Largest distance between keys of a seam, mm. Default 40. */
  spacing?: number;
  /** Gap between peg and socket, square to the flank, mm. Default 0.2. */
  clearance?: number;
  /** Width beside the cavity that the knife runs on and that no key may touch, mm. Default 6.5. */
  land?: number;
  /** Sockets on both faces and loose pegs. Not in this version. */
  loose?: boolean;
}

/** Registration keys; made by `key`. */
export class Key {
  /** @internal */ readonly call: CallId;
  /** @internal */ readonly shape: "dome" | "cone";
  /** @internal */ readonly size: number;
  /** @internal */ readonly spacing: number;
  /** @internal */ readonly clearance: number;
  /** @internal */ readonly land: number;

  /** @internal */
  constructor(
    call: CallId,
    shape: "dome" | "cone",
    size: number,
    spacing: number,
    clearance: number,
    land: number,
  ) {
    this.call = call;
    this.shape = shape;
    this.size = size;
    this.spacing = spacing;
    this.clearance = clearance;
    this.land = land;
    Object.freeze(this);
  }
}

/** Keys that make the parts register. Their flanks are shaped so that the part that leaves first slides off them. */
export function key(options?: KeyOptions): Key {
  const call = recordCall("key");
  const site = { name: "key", call, argument: 0 };
  const given = {
    ...KEY_DEFAULTS,
    ...checkKeys(site, options, ["shape", "size", "spacing", "clearance", "land", "loose"]),
  };
  const shape = checkChoice(site, "shape", given.shape, ["dome", "cone", "ridge"]);
  if (shape === "ridge" || given.loose === true) {
    const [what, path] = shape === "ridge" ? ["shape “ridge”", "shape"] : ["loose", "loose"];
    throw new KitError(
      "kit-not-yet",
      { call: "key", key: what, allowed: "Use a “dome” or a “cone” on the part itself." },
      { call, argument: 0, path: [path] },
    );
  }
  return new Key(
    call,
    shape,
    checkNumber(site, "size", given.size, { min: 3, max: 40, unit: "mm" }),
    checkNumber(site, "spacing", given.spacing, { min: 10, max: 500, unit: "mm" }),
    checkNumber(site, "clearance", given.clearance, { min: 0, max: 1, unit: "mm" }),
    checkNumber(site, "land", given.land, { min: 3, max: 40, unit: "mm" }),
  );
}
