import type { CallId } from "../../../shared/place.ts";
import { checkKeys, checkNumber } from "./options.ts";
import { recordCall } from "./record.ts";

export const CUTTER_BASE_DEFAULTS = Object.freeze({ allowance: 2 } as const);

/** A printed cutter; made by `cutter`. */
export class Cutter {
  /** @internal */ readonly call: CallId;
  /** @internal */ readonly kind: "base";
  /** @internal mm, wet clay, to be trimmed. */ readonly allowance: number;

  /** @internal */
  constructor(call: CallId, kind: "base", allowance: number) {
    this.call = call;
    this.kind = kind;
    this.allowance = allowance;
    Object.freeze(this);
  }
}

export const cutter = Object.freeze({
  /** A cutter for the base slab. `allowance`: how much larger it cuts, mm, to be trimmed. Default 2. */
  base(options?: { allowance?: number }): Cutter {
    const call = recordCall("cutter.base");
    const site = { name: "cutter.base", call, argument: 0 };
    const given = { ...CUTTER_BASE_DEFAULTS, ...checkKeys(site, options, ["allowance"]) };
    return new Cutter(
      call,
      "base",
      checkNumber(site, "allowance", given.allowance, { min: 0, max: 30, unit: "mm" }),
    );
  },
});
