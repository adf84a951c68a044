import type { CallId } from "../../../shared/place.ts";
import type { Clay } from "./clay.ts";
import type { Section } from "./outline.ts";
import type { SolidShape } from "./solid-shape.ts";

/** One `shrink` that a body has been through. */
export interface Shrinking {
  readonly call: CallId;
  readonly clay: Clay | null;
  /** Total linear shrinkage, fraction of the wet length. */
  readonly total: number;
  /** Part of it that the slab has lost before it is pressed. */
  readonly used: number;
}

/** The outside of a pot, or a solid piece of clay such as a handle. */
export class Body {
  /** @internal */ readonly [Symbol.toStringTag] = "Body";
  /** @internal Level sections from the board upwards, fired frame; none where `solid` says it. */ readonly sections: readonly Section[];
  /** @internal */ readonly side: "smooth" | "straight";
  /** @internal Where the mold ends in a flat trimming face. */ readonly open: "top" | "bottom" | "both";
  /** @internal The call that made the shape. */ readonly call: CallId;
  /** @internal In the order they were written. */ readonly shrinkings: readonly Shrinking[];
  /** @internal What is not made of level sections; null for a loft. */ readonly solid: SolidShape | null;

  /** @internal */
  constructor(
    sections: readonly Section[],
    side: "smooth" | "straight",
    open: "top" | "bottom" | "both",
    call: CallId,
    shrinkings: readonly Shrinking[] = [],
    solid: SolidShape | null = null,
  ) {
    this.sections = Object.freeze([...sections]);
    this.side = side;
    this.open = open;
    this.call = call;
    this.shrinkings = Object.freeze([...shrinkings]);
    this.solid = solid;
    Object.freeze(this);
  }
}
