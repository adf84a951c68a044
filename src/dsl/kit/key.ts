import type { CallId } from "../../../shared/place.ts";
import { checkChoice, checkFlag, checkKeys, checkNumber } from "./options.ts";
import type { PrinterSpec } from "./printer.ts";
import { recordCall } from "./record.ts";

export const KEY_DEFAULTS = Object.freeze({
  shape: "dome",
  size: 8,
  spacing: 40,
  clearance: 0.2,
  land: 6.5,
  loose: false,
} as const);

export interface KeyOptions {
  /**
   * "dome" (a spherical cap), "cone" (a frustum) or "ridge" (twice as long as wide, along the pull,
   * and one-sided: only the end that the part slides over leans with it, the other is steep; for
   * parts that leave nearly along their seams). Default "dome"; where no keys are written and
   * there are five parts or more, ridges 4 mm wide.
   */
  shape?: "dome" | "cone" | "ridge";
  /** Diameter at the seam face, of a ridge its width, mm. Default 8. */
  size?: number;
  /** Largest distance between keys of a seam, mm. Default 40. */
  spacing?: number;
  /**
   * Gap between peg and socket once they are printed, square to the flank, mm. Pegs are drawn smaller
   * and sockets larger by the printer's `spread`. Default 0.2.
   */
  clearance?: number;
  /** Width beside the cavity that the knife runs on and that no key may touch, mm. Default 6.5. */
  land?: number;
  /** Sockets on both faces and pegs printed apart, so that nothing stands in the knife's way. Default false. */
  loose?: boolean;
}

/** Registration keys; made by `key`. */
export class Key {
  /** @internal */ readonly [Symbol.toStringTag] = "Key";
  /** @internal */ readonly call: CallId;
  /** @internal */ readonly shape: "dome" | "cone" | "ridge";
  /** @internal */ readonly size: number;
  /** @internal */ readonly spacing: number;
  /** @internal Wanted once it is printed. */ readonly clearance: number;
  /** @internal Pegs are drawn this much smaller a face, sockets larger. */ readonly spread: number;
  /** @internal */ readonly land: number;
  /** @internal Both faces are hollow and pegs are printed apart. */ readonly loose: boolean;

  /** @internal */
  constructor(
    call: CallId,
    shape: "dome" | "cone" | "ridge",
    size: number,
    spacing: number,
    clearance: number,
    land: number,
    loose: boolean,
    spread = 0,
  ) {
    this.call = call;
    this.shape = shape;
    this.size = size;
    this.spacing = spacing;
    this.clearance = clearance;
    this.spread = spread;
    this.land = land;
    this.loose = loose;
    Object.freeze(this);
  }

  /** @internal Between peg and socket as they are drawn. */
  get gap(): number {
    return this.clearance + 2 * this.spread;
  }

  /** @internal These keys as they are drawn for a printer, so that size and clearance are there in print. */
  drawnFor({ spread }: PrinterSpec): Key {
    const { call, shape, size, spacing, clearance, land, loose } = this;
    return new Key(call, shape, size, spacing, clearance, land, loose, spread);
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
  return new Key(
    call,
    checkChoice(site, "shape", given.shape, ["dome", "cone", "ridge"]),
    checkNumber(site, "size", given.size, { min: 3, max: 40, unit: "mm" }),
    checkNumber(site, "spacing", given.spacing, { min: 10, max: 500, unit: "mm" }),
    checkNumber(site, "clearance", given.clearance, { min: 0, max: 1, unit: "mm" }),
    checkNumber(site, "land", given.land, { min: 3, max: 40, unit: "mm" }),
    checkFlag(site, "loose", given.loose),
  );
}
