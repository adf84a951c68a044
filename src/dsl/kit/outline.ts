import type { CallId } from "../../../shared/place.ts";
import type { Curve } from "../outline/curve.ts";
import { KitError } from "./error.ts";
import { checkNumber, type Site } from "./options.ts";
import { recordCall, recordMade } from "./record.ts";

/** No vessel is larger, mm; a number beyond it is in another unit. */
export const LARGEST = 2000;

/**
 * A closed outline in plan, made by `profile`. Immutable: each method gives a new outline.
 * Fired frame, mm, angles in degrees counter-clockwise from +x.
 */
export class Outline {
  /** @internal */ readonly [Symbol.toStringTag] = "Outline";
  /** @internal */ readonly curve: Curve;
  /** @internal */ readonly call: CallId;
  /** @internal Centre in plan, mm. */ readonly cx: number;
  /** @internal */ readonly cy: number;
  /** @internal Degrees; never reduced, so that 400° is more than one turn. */ readonly turned: number;
  /** @internal The call that drew it, whatever moved or scaled it since. */ readonly origin: CallId;

  /** @internal */
  constructor(curve: Curve, call: CallId, cx = 0, cy = 0, turned = 0, origin = call) {
    this.curve = curve;
    this.call = call;
    this.cx = cx;
    this.cy = cy;
    this.turned = turned;
    this.origin = origin;
    Object.freeze(this);
  }

  /** This outline as a level section at height `z`, mm above the board. */
  at(z: number): Section {
    const call = recordCall("at");
    checkNumber(argument("at", call), "z", z, { min: 0, max: LARGEST, unit: "mm" }, true);
    recordMade(call, [this.call]);
    return new Section(this, z, call);
  }

  /** Turned about its centre. A loft turns as far as the numbers say: 0 to 400 is more than once around. */
  turn(degrees: number): Outline {
    const call = recordCall("turn");
    checkNumber(argument("turn", call), "degrees", degrees, { min: -3600, max: 3600, unit: "°" }, true);
    recordMade(call, [this.call]);
    return new Outline(this.curve, call, this.cx, this.cy, this.turned + degrees, this.origin);
  }

  /** Moved in plan, mm: x to the right, y to the back. */
  shift(dx: number, dy: number): Outline {
    const call = recordCall("shift");
    const bounds = { min: -LARGEST, max: LARGEST, unit: "mm" } as const;
    checkNumber(argument("shift", call), "dx", dx, bounds, true);
    checkNumber(argument("shift", call, 1), "dy", dy, bounds, true);
    recordMade(call, [this.call]);
    return new Outline(this.curve, call, this.cx + dx, this.cy + dy, this.turned, this.origin);
  }

  /** Larger or smaller about its centre, fillets and waves with it. */
  scale(factor: number): Outline {
    const call = recordCall("scale");
    checkNumber(argument("scale", call), "factor", factor, { above: 0, max: 100 }, true);
    recordMade(call, [this.call]);
    return new Outline(this.curve.scale(factor), call, this.cx, this.cy, this.turned, this.origin);
  }

  /**
   * The outline `mm` outside this one, inside when negative: sharp corners stay sharp, curves keep
   * their distance. Throws where a curve would fold or the outline vanish.
   */
  grow(mm: number): Outline {
    const call = recordCall("grow");
    const site = argument("grow", call);
    checkNumber(site, "mm", mm, { min: -LARGEST, max: LARGEST, unit: "mm" }, true);
    const curve = this.curve.grow(mm);
    if (!curve) {
      const reason =
        mm < 0
          ? `${mm} mm is more than this outline has: a bend would fold, or nothing would be left.`
          : `${mm} mm is more than the tightest hollow of this outline takes: it would fold.`;
      throw new KitError("kit-conflict", { call: "grow", reason }, { call, argument: 0 });
    }
    recordMade(call, [this.call]);
    return new Outline(curve, call, this.cx, this.cy, this.turned, this.origin);
  }
}

/** An outline at a height: what `loft` takes. */
export class Section {
  /** @internal */ readonly [Symbol.toStringTag] = "Section";
  /** @internal */ readonly outline: Outline;
  /** @internal mm, fired. */ readonly z: number;
  /** @internal */ readonly call: CallId;
  /** @internal Where it stands in the call's first argument; empty where the whole call says it. */ readonly path: readonly string[];

  /** @internal */
  constructor(outline: Outline, z: number, call: CallId, path: readonly string[] = []) {
    this.outline = outline;
    this.z = z;
    this.call = call;
    this.path = path;
    Object.freeze(this);
  }
}

const argument = (name: string, call: CallId, index = 0): Site => ({ name, call, argument: index });
