import type { CallId } from "../../../shared/place.ts";
import { KitError } from "./error.ts";
import type { Outline } from "./outline.ts";
import { checkKeys, checkNumber } from "./options.ts";
import { recordCall } from "./record.ts";

export const CUTTER_BASE_DEFAULTS = Object.freeze({ allowance: 2 } as const);

export const CUTTER_RAILS_DEFAULTS = Object.freeze({ length: 300 } as const);

/** A printed cutter, or rails to roll slabs by; made by `cutter`. */
export class Cutter {
  /** @internal */ readonly [Symbol.toStringTag] = "Cutter";
  /** @internal */ readonly call: CallId;
  /** @internal */ readonly kind: "base" | "rails";
  /** @internal mm, wet clay, to be trimmed; of a cutter. */ readonly allowance: number;
  /** @internal mm; of rails. */ readonly length: number;

  /** @internal */
  constructor(call: CallId, kind: "base" | "rails", size: { allowance?: number; length?: number }) {
    this.call = call;
    this.kind = kind;
    this.allowance = size.allowance ?? 0;
    this.length = size.length ?? 0;
    Object.freeze(this);
  }
}

/** Cutters that are not in this version yet: each throws. */
interface LaterCutters {
  /** For the slab of each wall: what is left to trim, mm, and how many neighbouring parts one slab covers. */
  panels(options?: { allowance?: { seam?: number; top?: number; foot?: number }; span?: number }): Cutter;
  /** For a strip that goes around an outline; mm. */
  strip(options: { along: Outline; height: number; thickness?: number }): Cutter;
  /** Of any outline. */
  shape(outline: Outline, options: { name: string }): Cutter;
}

const laterCutters: LaterCutters = {
  panels: () => notYet("cutter.panels"),
  strip: () => notYet("cutter.strip"),
  shape: () => notYet("cutter.shape"),
};

export const cutter = Object.freeze({
  /** A cutter for the base slab. `allowance`: how much larger it cuts, mm, to be trimmed. Default 2. */
  base(options?: { allowance?: number }): Cutter {
    const call = recordCall("cutter.base");
    const site = { name: "cutter.base", call, argument: 0 };
    const given = { ...CUTTER_BASE_DEFAULTS, ...checkKeys(site, options, ["allowance"]) };
    const allowance = checkNumber(site, "allowance", given.allowance, { min: 0, max: 30, unit: "mm" });
    return new Cutter(call, "base", { allowance });
  },

  /**
   * Two rails as thick as the slab, to roll it by. `length` in mm, default 300; one that is longer
   * than the bed comes in pieces that are laid end to end.
   */
  rails(options?: { length?: number }): Cutter {
    const call = recordCall("cutter.rails");
    const site = { name: "cutter.rails", call, argument: 0 };
    const given = { ...CUTTER_RAILS_DEFAULTS, ...checkKeys(site, options, ["length"]) };
    const length = checkNumber(site, "length", given.length, { min: 50, max: 1000, unit: "mm" });
    return new Cutter(call, "rails", { length });
  },

  ...laterCutters,
});

function notYet(name: string): never {
  const allowed = "Leave it out; cutter.base and cutter.rails are there.";
  throw new KitError("kit-not-yet", { call: name, key: "it", allowed }, { call: recordCall(name) });
}
